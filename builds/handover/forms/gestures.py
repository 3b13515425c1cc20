"""Forms of gestures: a line to write, a line to change, a tap on one."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from uuid import uuid4

from django import forms
from django.forms import BaseForm
from django.utils.translation import gettext_lazy as _

from builds.handover.actions.gestures import FIELDS, seen_as
from builds.handover.queries.gestures import Line
from builds.handover.states import Being


class LineForm(forms.Form):
    """What to do, see and hear in one state, and how to get out."""

    being = forms.ChoiceField(label=_("When it is"), choices=Being.choices, initial=Being.OFF)
    wanted = forms.CharField(
        label=_("To get"), max_length=80, help_text=_("What the owner wants: “blade on”.")
    )
    do = forms.CharField(label=_("Do"), max_length=160, help_text=_("“One short press.”"))
    see = forms.CharField(label=_("See"), max_length=160, required=False)
    hear = forms.CharField(label=_("Hear"), max_length=160, required=False)
    out = forms.CharField(label=_("Get out again"), max_length=160, required=False)


class AddLineForm(LineForm):
    """A line to add; the token makes a double tap one line."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class ChangeLineForm(LineForm):
    """A line to change, with what the person saw of it."""

    seen = forms.CharField(widget=forms.HiddenInput)


class SeenForm(forms.Form):
    """A tap on a line: what the person saw of it."""

    seen = forms.CharField(max_length=64)


class SourceForm(forms.Form):
    """Which build to take lines over from."""

    source = forms.IntegerField(min_value=1)


def new_line() -> AddLineForm:
    """A line that nobody has written yet."""
    return AddLineForm(prefix="line-new", initial={"token": uuid4()})


@dataclass(frozen=True)
class Row:
    """A line as a page shows it; with a form where it is being changed."""

    line: Line
    seen: str
    is_first: bool
    is_tried: bool
    form: ChangeLineForm | None = None


@dataclass(frozen=True)
class Group:
    """A state and its rows."""

    label: str
    rows: list[Row]


def groups_of(
    groups: Sequence[tuple[str, Sequence[Line]]],
    untried: Collection[Line] = (),
    opened: str = "",
    bound: Mapping[str, BaseForm] | None = None,
) -> list[Group]:
    """Lines as rows. ``opened``: the one that is changed now, or that came back as it was typed."""
    return [
        Group(
            label,
            [
                Row(
                    line, seen_as(line), place == 0, line not in untried,
                    _form_of(line, opened, bound or {}),
                )
                for place, line in enumerate(lines)
            ],
        )
        for label, lines in groups
    ]  # fmt: skip


def _form_of(line: Line, opened: str, bound: Mapping[str, BaseForm]) -> ChangeLineForm | None:
    name = f"line-{line.pk}"
    back = bound.get(name)
    if isinstance(back, ChangeLineForm):
        return back
    if opened != str(line.pk):
        return None
    values = {field: getattr(line, field) for field in FIELDS}
    return ChangeLineForm(prefix=name, initial={**values, "seen": seen_as(line)})
