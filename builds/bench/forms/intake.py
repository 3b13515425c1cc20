"""Forms of intake: a parcel that came, and whose it is."""

from typing import Any
from uuid import UUID, uuid5

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.intake.models import Arrival, Went
from builds.progress.models import Build, Place
from builds.progress.queries import open_builds, places
from builds.progress.states import State
from shop.web.choices import drop_blank, read_choices


class BuildChoice(forms.ModelChoiceField):
    """Builds by number, hilt, customer and, of what came back, the return's number."""

    def label_from_instance(self, obj: Any) -> str:
        name = obj.hilt.name if obj.hilt else _("blade only")
        order = obj.item.order
        came_from = f" · {obj.came_from}" if hasattr(obj, "came_from") else ""
        return f"{name} · {order.customer.called} · {obj} · {order.number}{came_from}"


class ArrivalForm(forms.ModelForm):
    """A parcel that came."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    build = BuildChoice(
        Build.objects.none(),
        label=_("whose hilt is it"),
        required=False,
        empty_label=_("nobody knows yet"),
    )

    class Meta:
        model = Arrival
        fields = ["box", "carrier", "tracking", "sender", "note"]
        widgets = {"box": forms.RadioSelect, "note": forms.Textarea(attrs={"rows": 2})}

    field_order = ["build", "box", "carrier", "tracking", "sender", "note"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = open_builds().select_related("came_from")
        self.fields["build"].queryset = known.filter(hilt__isnull=False)  # type: ignore[attr-defined]
        drop_blank(self, "box")
        read_choices(self, "build")

    @property
    def facts(self) -> dict[str, Any]:
        """What the arrival itself keeps."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class MatchForm(forms.Form):
    """Whose hilt was in the box; with ``wrong`` it corrects a match."""

    build = BuildChoice(Build.objects.none(), label=_("the hilt"), empty_label=_("choose"))
    wrong = forms.ModelChoiceField(
        Build.objects.all(), to_field_name="number", required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = open_builds().select_related("came_from")
        self.fields["build"].queryset = known.filter(  # type: ignore[attr-defined]
            hilt__isnull=False, state__in=[State.BOOKED, State.INTAKE]
        )
        read_choices(self, "build")

    def choices(self) -> list[tuple[int, str]]:
        """The builds to choose from by their keys, with their words."""
        offered = list(self.fields["build"].choices)[1:]  # type: ignore[attr-defined]
        return [(int(str(value)), str(label)) for value, label in offered]


class BelongingForm(forms.Form):
    """Something else that was in the box."""

    what = forms.CharField(label=_("what"), max_length=80)
    quantity = forms.IntegerField(label=_("how many"), min_value=1, max_value=999, initial=1)
    token = forms.UUIDField(widget=forms.HiddenInput, required=False)

    @property
    def tap(self) -> UUID | None:
        """Names this tap: a page gone back to may still note another thing."""
        token, what = self.cleaned_data["token"], self.cleaned_data["what"]
        return uuid5(token, f"{what}:{self.cleaned_data['quantity']}") if token else None


class ClaimForm(forms.Form):
    """Whose a belonging is, of the builds that came in the parcel."""

    build = forms.ModelChoiceField(Build.objects.all(), to_field_name="number")


USUAL = (
    _("blade"),
    _("key"),
    _("screws"),
    _("memory card"),
    _("charger"),
    _("stand"),
    _("loose cell"),
    _("letter"),
)


class BoxForm(forms.Form):
    """Where an unmatched box stands."""

    place = forms.ModelChoiceField(
        Place.objects.none(), label=_("place"), required=False, empty_label=_("no place")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["place"].queryset = places()  # type: ignore[attr-defined]


class WentForm(forms.Form):
    """What became of a parcel that is no build's."""

    went = forms.ChoiceField(
        label=_("what became of it"), choices=Went.choices, widget=forms.RadioSelect
    )
    words = forms.CharField(
        label=_("why, and where it is now"),
        max_length=200,
        help_text=_("Who told you, the tracking number of the way back."),
    )


class OnlyForm(forms.Form):
    """The one hilt of a parcel that a photo shows; empty: all of them."""

    only = forms.ModelChoiceField(Build.objects.all(), to_field_name="number", required=False)
