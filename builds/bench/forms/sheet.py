"""Forms of the build sheet, one a part of it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.intake.models import CellCheck, Photo, View
from builds.progress.models import Build, Hold, Place, Tray
from builds.progress.queries import free_trays, places
from builds.progress.states import FOR_PARTS, STAGES, State, Turn
from shop.orders.models import AnswerKind, How
from shop.stores.queries.buying import Came, lines_awaited
from shop.stores.queries.levels import named
from shop.web.choices import drop_blank, name_blank, read_choices
from shop.web.dated import dated
from shop.web.figures import AnyDecimal
from shop.web.widgets import Day


class StandForm(forms.Form):
    """Tray and place of a build: the free trays and its own."""

    tray = forms.ModelChoiceField(
        Tray.objects.none(), label=_("tray"), required=False, empty_label=_("no tray")
    )
    place = forms.ModelChoiceField(
        Place.objects.none(), label=_("place"), required=False, empty_label=_("no place")
    )

    def __init__(self, *args: Any, build: Build, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"tray": _tray_for(build), "place": build.place_id})
        super().__init__(*args, **kwargs)
        own = Tray.objects.filter(pk=build.tray_id or 0)
        self.fields["tray"].queryset = (  # type: ignore[attr-defined]
            Tray.objects.filter(Q(pk__in=free_trays().values("pk")) | Q(pk__in=own.values("pk")))
        )
        self.fields["place"].queryset = places()  # type: ignore[attr-defined]
        read_choices(self, "tray", "place")


def _tray_for(build: Build) -> int | None:
    """The build's tray; a hilt that was just unpacked is offered the first free one."""
    if build.tray_id is not None or build.hilt_id is None or build.state != State.INTAKE:
        return build.tray_id
    return free_trays().values_list("pk", flat=True).first()


class CellForm(forms.ModelForm):
    """A look at the cell, its voltage in volts."""

    volts = AnyDecimal(
        label=_("voltage in V"),
        required=False,
        min_value=Decimal(0),
        max_value=Decimal(60),
        decimal_places=3,
        help_text=_("leave empty when not measured"),
    )

    class Meta:
        model = CellCheck
        fields = ["result", "note"]
        widgets = {"result": forms.RadioSelect}

    field_order = ["result", "volts", "note"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        drop_blank(self, "result")

    @property
    def millivolts(self) -> int | None:
        """The voltage as it is kept."""
        volts: Decimal | None = self.cleaned_data["volts"]
        return None if volts is None else int(volts * 1000)


class AnswerForm(forms.Form):
    """A binding answer that came another way than by the page."""

    # Nothing is chosen by itself: a yes to the wrong question would bind all the same.
    kind = forms.ChoiceField(label=_("about"), choices=[("", _("choose one")), *AnswerKind.choices])
    is_yes = forms.TypedChoiceField(
        label=_("answer"),
        choices=[("yes", _("yes")), ("no", _("no"))],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )
    text = forms.CharField(
        label=_("in the customer's words"), widget=forms.Textarea(attrs={"rows": 2})
    )
    how = forms.ChoiceField(
        label=_("how it came"), choices=[one for one in How.choices if one[0] != How.PAGE]
    )


class HoldForm(forms.ModelForm):
    """A hold: why, for what, whose turn, when to ask again."""

    class Meta:
        model = Hold
        fields = ["reason", "line", "words", "turn", "before", "chase_on"]
        widgets = {"chase_on": Day()}
        labels = {"line": _("Waits for this order")}
        error_messages = {"words": {"required": _("Say in a few words what it waits for.")}}
        help_texts = {
            "line": _("For parts: the hold is over by itself once all of it has come."),
            "words": _("Where it is the customer's turn, these words stand on their own page."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        later = [(s.value, _("only before %s") % s.label) for s in STAGES[2:]]
        self.fields["before"] = forms.ChoiceField(
            label=_("stops"), required=False, choices=[("", _("the work now")), *later]
        )
        name_blank(self, _("choose one"), "reason", "turn")
        self._offer_lines()

    def _offer_lines(self) -> None:
        """The lines of open orders of which something is missing; no field where there is none."""
        awaited = lines_awaited()
        if not awaited:
            del self.fields["line"]
            return
        words = self.fields["words"]  # an order says by itself what for
        words.required = False
        words.may = _("needed unless an order is chosen")  # type: ignore[attr-defined]
        choices = [("", _("no order")), *((one.line.pk, _line_words(one)) for one in awaited)]
        self.fields["line"].choices = choices  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        line, words = values.get("line"), values.get("words", "")
        if line and values.get("turn") == Turn.CUSTOMER:
            values["turn"] = Turn.SUPPLIER
        if line and values.get("reason") not in FOR_PARTS:
            self.add_error("line", _("Only a hold for parts waits for an order."))
        if not words and not line and "words" not in self.errors:
            self.add_error("words", _("Say in a few words what it waits for."))
        values["words"] = words or (line.part.name if line else "")
        return values

    def _post_clean(self) -> None:
        """The action writes the row."""


def _line_words(one: Came) -> str:
    purchase = one.line.purchase
    what = f"{named(one.line.part, one.missing)} · {purchase}"
    if purchase.expected_on is None:
        return what
    return f"{what}, {dated(purchase.expected_on, 'short')}"


class AskedForm(forms.Form):
    """The day to ask again that stood there when somebody asked."""

    seen = forms.DateField()


class PromiseForm(forms.Form):
    """The latest day that the customer is told."""

    day = forms.DateField(label=_("day"), widget=Day())
    reason = forms.CharField(label=_("why it changed"), max_length=200, required=False)


class PassForm(forms.Form):
    """The owner's word for one condition."""

    code = forms.CharField(max_length=30)
    reason = forms.CharField(label=_("why it may pass"), max_length=500)


class KeptForm(forms.Form):
    """Why a belonging does not go back."""

    kept_because = forms.CharField(label=_("not returned, because"), max_length=120)

    def __init__(self, *args: Any, thing: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.thing = thing


class PhotoForm(forms.ModelForm):
    """Which view a photo shows, its caption, and whether the customer may see it."""

    class Meta:
        model = Photo
        fields = ["view", "caption", "shared"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["view"] = forms.ModelChoiceField(
            View.objects.filter(retired=False),
            label=_("view"),
            required=False,
            empty_label=_("none of the list"),
        )


class UploadForm(forms.Form):
    """Photos to add. The files themselves are read by the view, one refusal each."""

    view = forms.ModelChoiceField(
        View.objects.filter(retired=False),
        label=_("which view"),
        required=False,
        empty_label=_("in turn, as they are missing"),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        read_choices(self, "view")
