"""What is typed of a parcel's box, size, weight, service and value."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries.things import Sized
from builds.dispatch.states import Insured
from shop.stores.forms.figures import figure_field
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.stores.specs import Quantity, Unit
from shop.stores.units import millimetres
from shop.web.money import MoneyField

_SIDES = (
    Quantity("length_mm", _("outside length"), Unit.MM, least=10, most=3000),
    Quantity("width_mm", _("outside width"), Unit.MM, least=10, most=2000),
    Quantity("height_mm", _("outside height"), Unit.MM, least=10, most=2000),
)
_GROSS = Quantity("gross_g", _("weighed, closed"), Unit.G, least=10, most=70_000)
LONGEST_MM = 3000


class BoxForm(forms.Form):
    """Which box of the stores, none, and which the page showed."""

    box = forms.ModelChoiceField(Part.objects.filter(kind=PartKind.BOX), required=False)
    box_seen = forms.IntegerField(min_value=0)


class SizeForm(forms.Form):
    """The outside of a closed parcel and its weight."""

    def __init__(self, *args: Any, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for quantity in (_GROSS, *_SIDES):
            self.fields[quantity.name] = figure_field(quantity, unit)
        self.fields["gross_g"].help_text = _("As 1240, or 1.24 kg.")

    def clean(self) -> dict[str, Any]:
        """All three sides or none: two of them say nothing."""
        fields: dict[str, Any] = super().clean() or {}
        missing = [side.name for side in _SIDES if not fields.get(side.name)]
        if 0 < len(missing) < len(_SIDES):
            for name in missing:
                if name not in self.errors:
                    self.add_error(name, _("Measure this side too, or leave all three empty."))
        return fields

    def sides(self) -> tuple[float | None, float | None, float | None]:
        """Length, width, height."""
        values = self.cleaned_data
        return values["length_mm"], values["width_mm"], values["height_mm"]


class ServiceForm(forms.Form):
    """By which service it goes."""

    service = forms.ModelChoiceField(
        Service.objects.filter(retired=False),
        required=False,
        error_messages={"invalid_choice": _("This service is offered no more. Choose another.")},
    )


class WorthForm(forms.Form):
    """What a parcel is worth, and who bears its loss."""

    insured_by = forms.ChoiceField(
        label=_("Who bears a loss"), choices=Insured.choices, widget=forms.RadioSelect
    )

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["declared_minor"] = MoneyField(
            label=_("Declared value"),
            currency=currency,
            help_text=_("Empty: what was agreed for what lies in it."),
        )
        self.order_fields(["declared_minor", "insured_by"])


def worth_of(parcel: Parcel) -> dict[str, Any]:
    """What stands in the form before anybody types."""
    return {"declared_minor": parcel.declared_minor, "insured_by": parcel.insured_by}


class Sizes:
    """Lengths and diameters typed for a look at the boxes; nothing of it is kept."""

    def __init__(self, data: Mapping[str, str], unit: str) -> None:
        self.data, self.unit = data, unit
        self.wrong: dict[str, str] = {}
        self.typed = self._read()

    def _read(self) -> dict[int, tuple[float, float]]:
        found = {}
        for name in self.data:
            build = name.removeprefix("long-")
            if name.startswith("long-") and build.isdecimal() and len(build) < 10:
                pair = [self._figure(f"{side}-{build}") for side in ("long", "across")]
                if pair[0] and pair[1]:
                    found[int(build)] = (pair[0], pair[1])
        return found

    def _figure(self, name: str) -> float | None:
        text = self.data.get(name, "").strip()
        if not text:
            return None
        try:
            value = float(millimetres(text[:20], self.unit))
        except ValueError as error:
            self.wrong[name] = str(error)
            return None
        if not 0 < value <= LONGEST_MM:
            self.wrong[name] = str(_("Type a length from 1 mm to 3 m."))
            return None
        return value

    def asked(self, rows: Sequence[Sized]) -> list[dict[str, Any]]:
        """A line a thing whose size is asked for, with what was typed and what is wrong."""
        return [self._line(row, row.build.pk) for row in rows if row.build]

    def _line(self, row: Sized, pk: int) -> dict[str, Any]:
        names = {side: f"{side}-{pk}" for side in ("long", "across")}
        wrong = [self.wrong[name] for name in names.values() if name in self.wrong]
        return {
            "name": row.name,
            "hilt": row.build.hilt_id if row.build else None,
            "number": row.build.number if row.build else "",
            "long_name": names["long"],
            "across_name": names["across"],
            "long": self.data.get(names["long"], ""),
            "across": self.data.get(names["across"], ""),
            "wrong": wrong[0] if wrong else "",
        }
