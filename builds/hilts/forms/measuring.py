"""One form a section for the caliper, and the measures of a hole."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.hilts.actions import Reading
from builds.hilts.doubts import doubts
from builds.hilts.forms.fields import AngleField, LengthField, Typed, reading
from builds.hilts.queries import SectionShape
from builds.hilts.states import Basis, MeasuredThing

# Field → what it measures, and the field of its second reading.
FIELDS: Mapping[str, tuple[MeasuredThing, str]] = {
    "bore": (MeasuredThing.BORE, "bore_across"),
    "length": (MeasuredThing.LENGTH, ""),
    "outer": (MeasuredThing.OUTER, ""),
    "socket_bore": (MeasuredThing.SOCKET_BORE, "socket_bore_across"),
    "socket_depth": (MeasuredThing.SOCKET_DEPTH, ""),
}
_LABELS = {
    "bore": gettext_lazy("Bore, first reading"),
    "bore_across": gettext_lazy("Bore, a quarter turn on"),
    "length": gettext_lazy("Length"),
    "outer": gettext_lazy("Outside"),
    "tolerance": gettext_lazy("Within ±"),
    "socket_bore": gettext_lazy("Socket’s bore, first"),
    "socket_bore_across": gettext_lazy("Socket’s bore, a quarter turn on"),
    "socket_depth": gettext_lazy("Socket’s depth"),
}
_ALWAYS = ("bore", "bore_across", "length", "outer", "tolerance")
_OF_A_SOCKET = ("socket_bore", "socket_bore_across", "socket_depth")


class MeasureForm(forms.Form):
    """What a caliper says of one section; what is left empty stays as it is known."""

    basis = forms.ChoiceField(
        label=gettext_lazy("How it is known"),
        choices=[
            (Basis.MEASURED.value, gettext_lazy("measured on this hilt")),
            (Basis.TOLD.value, gettext_lazy("told by the customer")),
        ],
        widget=forms.RadioSelect,
    )
    sure = forms.BooleanField(label=gettext_lazy("Yes, that is what it measures"), required=False)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, shape: SectionShape, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"s{shape.section.pk}-%s", **kwargs})
        self.shape, self.unit, self.doubts = shape, unit, dict[str, str]()
        names = _ALWAYS + (_OF_A_SOCKET if shape.section.holds_blade else ())
        for name in names:
            self.fields[name] = LengthField(unit=unit, label=_LABELS[name])
        self.order_fields(names)
        self.typed_names = names

    @property
    def caliper(self) -> list[forms.BoundField]:
        """The fields that a caliper types into, in their order."""
        return [self[name] for name in self.typed_names]

    @property
    def readings(self) -> dict[str, Reading]:
        """What was typed, by what it measures."""
        values, found = self.cleaned_data, {}
        for name, (thing, across) in FIELDS.items():
            if values.get(name):
                second = values.get(across) if across else None
                found[thing.value] = reading(values[name], second, values.get("tolerance"))
        return found

    def clean(self) -> dict[str, Any]:
        """Something is typed, second readings have their first, slips are asked about."""
        values = super().clean() or self.cleaned_data
        for name, (_thing, across) in FIELDS.items():
            if across and values.get(across) and not values.get(name) and name not in self.errors:
                self.add_error(name, _("Type the first reading as well."))
        if not self.errors and not self.readings:
            self.add_error(None, _("Type at least one measure."))
        if not self.errors and not values.get("sure"):
            self._ask()
        return values

    def _ask(self) -> None:
        typed = {thing: (each.value, each.second) for thing, each in self.readings.items()}
        known = {thing: each.value for thing, each in self.shape.known.items()}
        self.doubts = doubts(typed, known, self.unit)
        for name, (thing, _across) in FIELDS.items():
            if thing in self.doubts:
                self.add_error(name, self.doubts[thing])


def hole_fields(unit: str) -> dict[str, forms.Field]:
    """Where a hole is, and how wide."""
    return {
        "diameter": LengthField(unit=unit, label=_("Diameter")),
        "from_front": LengthField(unit=unit, label=_("From the section’s front edge")),
        "around": AngleField(
            label=_("Where around, degrees"), help_text=_("seen from the blade’s end, 0 is the top")
        ),
    }


def hole_readings(values: Mapping[str, Typed | None]) -> dict[str, Reading]:
    """The measures of a hole, of those that were typed."""
    things = {
        "diameter": MeasuredThing.DIAMETER,
        "from_front": MeasuredThing.FROM_FRONT,
        "around": MeasuredThing.AROUND,
    }
    return {
        thing.value: reading(typed)
        for name, thing in things.items()
        if (typed := values.get(name)) is not None
    }


class HoleMeasureForm(forms.Form):
    """A hole measured anew."""

    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, hole_id: int, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"h{hole_id}-%s", **kwargs})
        self.fields |= hole_fields(unit)

    def clean(self) -> dict[str, Any]:
        """Something is typed."""
        values = super().clean() or self.cleaned_data
        if not self.errors and not hole_readings(values):
            self.add_error(None, _("Type at least one measure."))
        return values
