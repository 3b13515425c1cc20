"""Forms of the cells on the way: where each is, how its ends are safe, what its parts don't say."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.dispatch.actions.stowing import seen_as
from builds.dispatch.models import Stowed
from builds.dispatch.queries.cells import Thing
from builds.dispatch.states import CellUnit, Chemistry, Stowage, Terminals
from shop.web.figures import AnyFloat

_OF_A_BUILD = (Stowage.INSTALLED, Stowage.PACKED_WITH, Stowage.LEFT_OUT)
_OF_GOODS = (Stowage.PACKED_WITH, Stowage.LOOSE, Stowage.INSTALLED, Stowage.LEFT_OUT)
_GOODS_WORDS = {
    Stowage.PACKED_WITH: gettext_lazy("beside the hilt that it runs"),
    Stowage.LOOSE: gettext_lazy("alone, or with its charger only"),
    Stowage.INSTALLED: gettext_lazy("built into it"),
    Stowage.LEFT_OUT: gettext_lazy("no cell in it"),
}
_FIGURES = ("chemistry", "unit", "count", "needed", "watt_hours", "lithium_g", "test_summary")
# Which of them the class asks for depends on the others and on the way that it goes.
_MAY = gettext_lazy("the class asks for it where it counts")
_YES_NO = (
    ("", gettext_lazy("not known")),
    ("yes", gettext_lazy("yes")),
    ("no", gettext_lazy("no")),
)


def _yes_no(word: str) -> bool | None:
    return {"yes": True, "no": False}.get(word)


class StowForm(forms.Form):
    """Where the cell of one thing is on the way."""

    stowage = forms.ChoiceField(label=gettext_lazy("Cell"), widget=forms.RadioSelect)
    terminals = forms.ChoiceField(
        label=gettext_lazy("Its ends"),
        choices=Terminals.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    charge_percent = forms.IntegerField(
        label=gettext_lazy("Charge now, %"),
        min_value=0,
        max_value=100,
        required=False,
        help_text=gettext_lazy("Asked where a cell flies beside the hilt: 30 % at most."),
    )
    chemistry = forms.ChoiceField(
        label=gettext_lazy("What is in it"),
        choices=Chemistry.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    unit = forms.ChoiceField(
        label=gettext_lazy("Counts as"),
        choices=CellUnit.choices,
        widget=forms.RadioSelect,
        required=False,
        help_text=gettext_lazy("One cell stays a cell with a protection board on it."),
    )
    count = forms.IntegerField(
        label=gettext_lazy("How many"), min_value=1, max_value=999, required=False
    )
    needed = forms.IntegerField(
        label=gettext_lazy("How many the hilt runs on"), min_value=1, max_value=999, required=False
    )
    watt_hours = AnyFloat(
        label=gettext_lazy("Watt-hours of each"),
        min_value=0.001,
        max_value=10_000,
        required=False,
        help_text=gettext_lazy("As printed on it, or volts × ampere-hours."),
    )
    lithium_g = AnyFloat(
        label=gettext_lazy("Grams of lithium in each"),
        min_value=0.001,
        max_value=1000,
        required=False,
        help_text=gettext_lazy("Only of cells that are not rechargeable."),
    )
    test_summary = forms.TypedChoiceField(
        label=gettext_lazy("UN 38.3 test summary on file"),
        choices=_YES_NO,
        coerce=_yes_no,
        empty_value=None,
        required=False,
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Any = None, *, thing: Thing) -> None:
        super().__init__(data, prefix=thing.key, initial=_initial(thing))
        self.thing = thing
        self.fields["stowage"].choices = _choices(thing)  # type: ignore[attr-defined]
        for name in _FIGURES:
            if _asks(thing, name):
                _say_when(self.fields[name], _MAY)
            else:
                del self.fields[name]
        _say_when(self.fields["terminals"], gettext_lazy("wanted unless the cell is left out"))

    def clean(self) -> dict[str, Any]:
        """What goes along has safe ends."""
        values = super().clean() or self.cleaned_data
        goes = values.get("stowage") not in {None, Stowage.LEFT_OUT}
        if goes and not values.get("terminals") and values.get("chemistry") != Chemistry.NONE:
            self.add_error("terminals", _("Say how its ends are safe from a short."))
        return values

    @property
    def answer(self) -> dict[str, Any]:
        """What was said, but for what the person saw."""
        return {name: value for name, value in self.cleaned_data.items() if name != "seen"}

    @property
    def figures(self) -> list[forms.BoundField]:
        """The fields of what its parts don't say."""
        return [self[name] for name in _FIGURES if name in self.fields]


def _say_when(field: forms.Field, words: Any) -> None:
    """What stands beside a field that is asked for only at times, as ``web/_field`` shows it."""
    field.may = words  # type: ignore[attr-defined]


def _choices(thing: Thing) -> list[tuple[str, Any]]:
    if thing.is_build:
        return [(one.value, one.label) for one in _OF_A_BUILD]
    kinds = _OF_GOODS if not thing.told else (Stowage.PACKED_WITH, Stowage.LOOSE)
    return [(one.value, _GOODS_WORDS[one]) for one in kinds]


def _asks(thing: Thing, name: str) -> bool:
    if name == "lithium_g":
        return any(told.chemistry in {Chemistry.METAL, None} for told in thing.told) or (
            not thing.told
        )
    if name == "needed":
        return not thing.told
    if not thing.told:
        return True
    return any(getattr(told, name) is None for told in thing.told)


def _initial(thing: Thing) -> dict[str, Any]:
    answer = thing.answer or Stowed()
    known = {name: getattr(answer, name) for name in ("terminals", "charge_percent", *_FIGURES)}
    known["test_summary"] = {True: "yes", False: "no"}.get(answer.test_summary, "")  # type: ignore[arg-type]
    return {**known, "stowage": thing.stowage, "seen": seen_as(thing.answer)}


class MendForm(forms.Form):
    """A way out of a refusal, by its name."""

    name = forms.CharField(max_length=200)


class UsedForm(forms.Form):
    """Whether anything in a parcel was used or repaired before."""

    used = forms.ChoiceField(choices=[("yes", gettext_lazy("used")), ("no", gettext_lazy("new"))])
