"""Which column is which of our fields, or one value for all rows; how sums and days are written."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.importing.columns import Field, Group, groups
from builds.importing.models import Import
from builds.importing.sheets import letter
from builds.importing.states import DayOrder, Decimals, Doubles, Kind
from shop.house.models import LengthUnit

CHOICES = ("decimals", "day_order", "length_unit", "doubles")


@dataclass(frozen=True)
class Matched:
    """A field as the page shows it: its two inputs, and values of the column chosen."""

    field: Field
    column: forms.BoundField
    fixed: forms.BoundField
    samples: Sequence[str]
    is_used: bool


class MatchingForm(forms.Form):
    """A choice of column and a fixed value for each of our fields."""

    seen = forms.CharField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, one: Import, samples: Sequence[Sequence[str]], **kw: Any
    ) -> None:
        kw["initial"] = _initial(one)
        super().__init__(*args, **kw)
        self.one, self.samples = one, samples
        columns = [("", _("not in my sheet")), *_columns(one.headers, samples)]
        for field in self.known():
            self.fields[f"c_{field.name}"] = forms.ChoiceField(
                label=capfirst(str(field.label)), choices=columns, required=False
            )
            self.fields[f"f_{field.name}"] = forms.CharField(
                label=_("The same in every row: %s") % field.label,
                required=False,
                max_length=200,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )
        self._ask_how()

    def _ask_how(self) -> None:
        if self.one.kind in {Kind.PARTS, Kind.STOCK}:
            self.fields["decimals"] = _radio(gettext_lazy("Numbers are written"), Decimals.choices)
        if self.one.kind == Kind.PARTS:
            self.fields["length_unit"] = _radio(
                gettext_lazy("A bare length is in"), LengthUnit.choices
            )
        if self.one.kind == Kind.ORDERS:
            self.fields["day_order"] = _radio(gettext_lazy("Days are written"), DayOrder.choices)
        if self.one.kind != Kind.STOCK:
            self.fields["doubles"] = _radio(gettext_lazy("What is there already"), Doubles.choices)

    def known(self) -> Iterator[Field]:
        """All of our fields."""
        return (field for group in groups(self.one.kind) for field in group.fields)

    @property
    def how(self) -> list[forms.BoundField]:
        """The choices beside the columns."""
        return [self[name] for name in CHOICES if name in self.fields]

    @property
    def shown(self) -> list[tuple[Group, list[Matched], list[Matched]]]:
        """Fields in their groups; of a folded group those in use, and then the rest."""
        found = []
        for group in groups(self.one.kind):
            rows = [self._matched(field) for field in group.fields]
            more = [row for row in rows if group.folded and not (row.is_used or _is_wrong(row))]
            found.append((group, [row for row in rows if row not in more], more))
        return found

    def _matched(self, field: Field) -> Matched:
        column, fixed = self[f"c_{field.name}"], self[f"f_{field.name}"]
        place = column.value()
        chosen = int(place) if str(place or "").isdecimal() else None
        samples = self.samples[chosen] if chosen is not None and chosen < len(self.samples) else ()
        return Matched(field, column, fixed, samples, bool(place or fixed.value()))

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        taken: dict[str, str] = {}
        for field in self.known():
            column = self.cleaned_data.get(f"c_{field.name}")
            fixed = self.cleaned_data.get(f"f_{field.name}")
            if column and fixed:
                self.add_error(f"c_{field.name}", _("Choose a column or write a value, not both."))
            if field.required and not column and not fixed:
                self.add_error(
                    f"c_{field.name}", _("This is needed: choose a column, or write a value.")
                )
            if column and column in taken:
                self.add_error(
                    f"c_{field.name}",
                    _("This column is “%s” already.") % taken[column],
                )
            elif column:
                taken[column] = str(field.label)
        return cleaned

    def mapping(self) -> dict[str, dict[str, Any]]:
        """Field → its column or its value; what is neither stays empty in every row."""
        found: dict[str, dict[str, Any]] = {}
        for field in self.known():
            column = self.cleaned_data[f"c_{field.name}"]
            fixed = self.cleaned_data[f"f_{field.name}"].strip()
            if column:
                found[field.name] = {"column": int(column)}
            elif fixed:
                found[field.name] = {"fixed": fixed}
        return found

    def choices(self) -> dict[str, str]:
        """How cells are written, and what becomes of doubles."""
        return {name: self.cleaned_data[name] for name in CHOICES if name in self.fields}


def _is_wrong(row: Matched) -> bool:
    return bool(row.column.errors or row.fixed.errors)


def _radio(label: Any, choices: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, widget=forms.RadioSelect)


def _columns(headers: Sequence[str], samples: Sequence[Sequence[str]]) -> Iterator[tuple[str, str]]:
    for place, heading in enumerate(headers):
        first = samples[place][0] if place < len(samples) and samples[place] else ""
        if heading or first:
            words = " · ".join(filter(None, (letter(place), heading[:60])))
            yield str(place), f"{words}: {first[:30]}" if first else words


def _initial(one: Import) -> Mapping[str, Any]:
    found: dict[str, Any] = {name: getattr(one, name) for name in CHOICES}
    for name, source in one.mapping.items():
        if "column" in source:
            found[f"c_{name}"] = str(source["column"])
        else:
            found[f"f_{name}"] = source["fixed"]
    return found | {"seen": one.stamp}
