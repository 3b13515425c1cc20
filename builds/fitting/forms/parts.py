"""Forms of the parts list."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.fitting.forms.fields import StartsField, TokenForm
from builds.fitting.models import BuildPart, Chassis
from builds.hilts.models import Section
from builds.intake.models import Belonging
from builds.progress.models import Build
from shop.stores.forms.choosing import QuantityForm
from shop.stores.forms.figures import figure_field
from shop.stores.kinds import IN_BUILDS, PartKind
from shop.stores.models import Kit, Part, Supplier
from shop.stores.queries.choosing import scanned
from shop.stores.specs import quantities
from shop.web.choices import read_choices

_TYPED = {"autocomplete": "off", "spellcheck": "false"}
_NO_SECTION = gettext_lazy("not said yet")


def sections_of(build: Build) -> Any:
    """The sections of a build's hilt, from the blade's end."""
    return Section.objects.filter(hilt=build.hilt_id, ended_at=None)


class AddForm(TokenForm, QuantityForm):
    """So much of one part of the stores, put on the list once."""


class ScanForm(TokenForm):
    """A part's label, as a scanner types it or somebody reads it."""

    label = forms.CharField(
        label=gettext_lazy("Scan or type a part's label"), max_length=200,
        widget=forms.TextInput(attrs={**_TYPED, "autocapitalize": "characters"}),
    )  # fmt: skip

    def clean_label(self) -> Part:
        """The part that it stands on."""
        part = scanned(self.cleaned_data["label"])
        if part is None:
            raise forms.ValidationError(_("No part has this label. Labels read as P0042."))
        return part


class KitForm(TokenForm):
    """A kit whose parts go on the list."""

    kit = forms.ModelChoiceField(
        Kit.objects.filter(retired=False), label=gettext_lazy("kit"), empty_label=None
    )


class MakeKitForm(TokenForm):
    """The name of a kit made of a build's list."""

    name = forms.CharField(label=gettext_lazy("name of the kit"), max_length=60)


class ChassisForm(forms.Form):
    """Whether the chassis comes out again."""

    chassis = forms.ChoiceField(
        label=gettext_lazy("chassis"), choices=Chassis.choices, widget=forms.RadioSelect
    )


class FitForm(TokenForm):
    """The number that stands on a part as it goes in."""

    serial = forms.CharField(
        label=gettext_lazy("serial number"), max_length=60, required=False,
        widget=forms.TextInput(attrs=_TYPED),
    )  # fmt: skip


class PlaceForm(forms.Form):
    """Where a part sits, as which from the blade's end, and what it lies flat on."""

    section = forms.ModelChoiceField(
        Section.objects.none(), label=gettext_lazy("section"), required=False,
        empty_label=_NO_SECTION,
    )  # fmt: skip
    position = forms.IntegerField(
        label=gettext_lazy("order from the blade's end"), min_value=0, max_value=999
    )
    lies_on = forms.ModelChoiceField(
        BuildPart.objects.none(), label=gettext_lazy("lies flat on"), required=False,
        empty_label=gettext_lazy("nothing"),
    )  # fmt: skip

    def __init__(self, *args: Any, part: BuildPart, build: Build, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["starts_mm"] = StartsField(unit=unit)
        others = build.parts.filter(ended_at=None).exclude(pk=part.pk)
        self.fields["section"].queryset = sections_of(build)  # type: ignore[attr-defined]
        self.fields["lies_on"].queryset = others.select_related("part", "belonging")  # type: ignore[attr-defined]
        self.fields["lies_on"].label_from_instance = lambda each: each.name  # type: ignore[attr-defined]
        read_choices(self, "section", "lies_on")


class SwapForm(TokenForm):
    """Another part of the same kind."""

    part = forms.ModelChoiceField(Part.objects.filter(retired=False))


class OffForm(TokenForm):
    """Why a part comes off, and how much of it goes back whole."""

    because = forms.CharField(label=gettext_lazy("why"), max_length=200, required=False)
    whole = forms.IntegerField(
        label=gettext_lazy("how many go back into the stores"), min_value=0, required=False
    )


class DeadForm(TokenForm):
    """What is wrong with a part, of how many, and who sold it."""

    fault = forms.CharField(label=gettext_lazy("what is wrong with it"), max_length=200)
    many = forms.IntegerField(label=gettext_lazy("how many are dead"), min_value=1)
    supplier = forms.ModelChoiceField(
        Supplier.objects.filter(retired=False), label=gettext_lazy("it goes back to"),
        empty_label=gettext_lazy("choose one"),
        error_messages={
            "required": gettext_lazy("Say who sold it. Suppliers are written down in Stores.")
        },
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        read_choices(self, "supplier")


class WhoseForm(forms.Form):
    """Which thing of the customer's it is, and what kind of part."""

    belonging = forms.ModelChoiceField(
        Belonging.objects.none(), label=gettext_lazy("what came with the hilt"), empty_label=None,
        widget=forms.RadioSelect,
    )  # fmt: skip
    kind = forms.ChoiceField(label=gettext_lazy("kind of part"), choices=IN_BUILDS)

    def __init__(self, *args: Any, build: Build, just_now: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        listed = build.parts.filter(ended_at=None, belonging__isnull=False)
        if just_now:  # a double tap finds what its first tap put on the list
            listed = listed.exclude(token=just_now)
        things = Belonging.objects.filter(build=build)
        self.fields["belonging"].queryset = things.exclude(  # type: ignore[attr-defined]
            pk__in=listed.values("belonging")
        )
        read_choices(self, "belonging")
        self.has_things = bool(self.fields["belonging"].choices)  # type: ignore[attr-defined]

    @property
    def kind_shown(self) -> str:
        """The kind in words."""
        return str(PartKind(self.cleaned_data["kind"]).label)


class OwnForm(TokenForm):
    """The figures of a customer's own part, as its kind asks for them."""

    def __init__(self, *args: Any, kind: str, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for quantity in quantities(kind):
            self.fields[quantity.name] = figure_field(quantity, unit)

    def spec(self) -> dict[str, Any]:
        """What was typed, without what stayed empty."""
        values = {name: value for name, value in self.cleaned_data.items() if name != "token"}
        return {name: value for name, value in values.items() if value not in (None, "")}
