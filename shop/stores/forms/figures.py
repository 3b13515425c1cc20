"""Fields for the figures of a spec: generated from what each kind of part is described by."""

from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop.stores.specs import IN_WORDS, Quantity, Unit, problem
from shop.stores.units import example, figure_shown, typed_figure

_TELLS = {Unit.MM, Unit.MAH, Unit.MV, Unit.G, Unit.OHM, Unit.AWG}  # stands in the label
_BARE = {Unit.MV: "V", Unit.PER_CENT: "%"}


class FigureField(forms.CharField):
    """One figure: cleans to a number in the unit it is kept in, None where it stays empty."""

    def __init__(
        self, quantity: Quantity, length_unit: str, kept: Any = None, **kwargs: Any
    ) -> None:
        self.quantity, self.length_unit, self.kept = quantity, length_unit, kept
        super().__init__(
            label=kwargs.pop("label", _label(quantity, length_unit)),
            help_text=kwargs.pop("help_text", _help(quantity)),
            required=kwargs.pop("required", quantity.required),
            widget=forms.TextInput(attrs=_attributes(quantity)),
            max_length=60,
            **kwargs,
        )

    def prepare_value(self, value: Any) -> Any:
        """What stands in the field: a kept figure as one types it, what was typed as it is."""
        if isinstance(value, int | float):
            return as_typed(self.quantity, value, self.length_unit)
        return value

    def clean(self, value: Any) -> Any:
        """The figure; what is none is refused in words."""
        text = super().clean(value)
        if not text:
            return None
        if self.kept is not None and text == self.prepare_value(self.kept):
            return self.kept  # what is shown is rounded; left as it stood, it keeps every digit
        try:
            figure = typed_figure(self.quantity, text, self.length_unit)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        why = problem(self.quantity, figure)
        if why:
            raise forms.ValidationError(self._bounds(why, figure))
        return figure

    def _bounds(self, why: str, figure: Any) -> str:
        if self.quantity.unit in IN_WORDS or figure == 0:
            return why
        least, most = (
            figure_shown(self.quantity, end, self.length_unit)
            for end in (self.quantity.least, self.quantity.most)
        )
        if self.quantity.least == 0:
            return _("That is too much: at most %(most)s.") % {"most": most}
        return _("Type something from %(least)s to %(most)s.") % {"least": least, "most": most}


def figure_field(quantity: Quantity, length_unit: str, kept: Any = None) -> forms.Field:
    """The field for a quantity: a choice where it is one, else something typed."""
    if quantity.unit == Unit.CHOICE:
        open_end = [] if quantity.required else [("", _("not known"))]
        return forms.ChoiceField(
            label=capfirst(str(quantity.label)),
            choices=[*quantity.choices, *open_end],
            required=quantity.required,
            widget=forms.RadioSelect,
        )
    return FigureField(quantity, length_unit, kept)


def as_typed(quantity: Quantity, value: Any, length_unit: str) -> str:
    """A kept figure as it stands in a field, where its label says the unit: 26.15; 15 A."""
    shown = figure_shown(quantity, value, length_unit).replace("\u202f", " ")
    bare, _space, _unit = shown.partition(" ")
    return bare if quantity.unit in _TELLS | {Unit.PER_M, Unit.PER_CENT, Unit.COUNT} else shown


def _label(quantity: Quantity, length_unit: str) -> str:
    named = capfirst(str(quantity.label))
    if quantity.unit not in _TELLS:
        return named
    unit = length_unit if quantity.unit == Unit.MM else _BARE.get(quantity.unit, quantity.unit)
    return f"{named}, {unit}"


def _help(quantity: Quantity) -> str:
    unit = ""
    if quantity.unit in {Unit.MA, Unit.MW}:
        unit = _("Such as %s.") % example(quantity.unit)
    hint = f"{quantity.hint}." if quantity.hint else ""
    return f"{hint[:1].upper()}{hint[1:]} {unit}".strip()


def _attributes(quantity: Quantity) -> dict[str, Any]:
    if quantity.unit == Unit.TEXT:
        return {"autocomplete": "off"}
    # Letters are wanted too: the unit may be typed.
    return {"autocomplete": "off", "inputmode": "text", "spellcheck": "false"}
