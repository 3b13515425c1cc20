"""Fields that several forms of the stores share."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from shop.stores.actions.stock import MOST
from shop.stores.models import Part, Supplier
from shop.stores.queries.buying import parts_to_buy, suppliers
from shop.stores.queries.levels import amount
from shop.stores.units import millimetres


def token_field() -> forms.UUIDField:
    """Names one filling-in of a form, so that a double tap is one deed."""
    return forms.UUIDField(widget=forms.HiddenInput)


class AmountField(forms.CharField):
    """So many pieces, or a length in metres: cleans to a whole number, None where left empty.

    How a part is counted is known as the form is cleaned: ``read`` is called with it.
    """

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault(
            "widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        )
        super().__init__(max_length=20, **kwargs)


def read_amount(text: str, part: Part, least: int = 1) -> int:
    """How many, as typed for a part: "12", or "1.5 m" and a bare "1.5" of what goes by length.

    :raises ValidationError: with a sentence.
    """
    if part.counted == "mm":
        try:
            return _within(round(millimetres(text, "m")), least)
        except ValueError as error:
            raise forms.ValidationError(_("Type a length such as 2.5 m or 800 mm.")) from error
    if not text.strip().isdecimal():
        raise forms.ValidationError(_("Type a whole number."))
    return _within(int(text), least)


def _within(value: int, least: int) -> int:
    if value < least:
        raise forms.ValidationError(_("Type %d or more.") % least)
    if value > MOST:
        raise forms.ValidationError(_("That is too many. Look at the number."))
    return value


def typed_amount(quantity: int, part: Part) -> str:
    """How many, as it stands in a field."""
    return amount(part, quantity).replace("\u202f", " ")


def part_choices(words: str = "") -> list[tuple[str, list[tuple[int, str]]]]:
    """Parts to choose from, in groups by kind, read once."""
    groups: dict[str, list[tuple[int, str]]] = {}
    for part in parts_to_buy(words):
        groups.setdefault(part.get_kind_display(), []).append(
            (part.pk, f"{part.name} · {part.label}")
        )
    return list(groups.items())


def supplier_choices(chosen: Iterable[Supplier] = ()) -> list[tuple[Any, str]]:
    """Suppliers in use, read once, and one that is retired where it stands already."""
    known = {one.pk: one.name for one in [*suppliers(), *chosen]}
    return [("", _("choose one")), *sorted(known.items(), key=lambda one: one[1].casefold())]
