"""The box into which tracking numbers are pasted, and what was understood of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.dispatch.pasted import Known, Line, read

LOOK, KEEP = "look", "keep"


class PasteForm(forms.Form):
    """What was pasted, who carries it all, and whether the customers are told."""

    lines = forms.CharField(
        label=_("Tracking numbers"), required=False, max_length=20_000, widget=forms.Textarea
    )
    carrier = forms.CharField(label=_("Carrier of them all"), required=False, max_length=60)
    tells = forms.BooleanField(required=False)
    step = forms.ChoiceField(choices=[(LOOK, LOOK), (KEEP, KEEP)])


@dataclass(frozen=True)
class Row:
    """A line that was understood: the parcel and its number."""

    parcel: int
    words: str
    tracking: str
    is_ticked: bool = True

    @property
    def value(self) -> str:
        """What stands in the form for this row."""
        return f"{self.parcel}:{self.tracking}"


@dataclass(frozen=True)
class Pasted:
    """The box as it stands: rows that were understood, lines that were not and why."""

    rows: Sequence[Row] = ()
    lines: Sequence[Line] = ()
    carrier: str = ""
    tells: bool = True
    wrong: dict[str, str] = field(default_factory=dict)

    @property
    def rest(self) -> str:
        """The text that stays in the box."""
        return "\n".join(line.text for line in self.lines)


def offered(values: Iterable[str], ticked: Iterable[str], known: Iterable[Known]) -> list[Row]:
    """The rows that a page showed before, as it sends them back."""
    by_id, marked = {one.parcel: one for one in known}, set(ticked)
    rows: dict[int, Row] = {}
    for value in values:
        parcel, _colon, tracking = value.partition(":")
        one = by_id.get(int(parcel)) if parcel.isdecimal() and len(parcel) < 18 else None
        if one and 0 < len(tracking) <= 60:
            rows.setdefault(one.parcel, Row(one.parcel, one.words, tracking, value in marked))
    return list(rows.values())


def understood(
    text: str, rows: Sequence[Row], known: Sequence[Known]
) -> tuple[list[Row], list[Line]]:
    """Rows shown before with those that a text adds, and the lines that stay as they are."""
    words = {one.parcel: one.words for one in known}
    taken = {row.parcel for row in rows}
    added, left = [], []
    for line in read(text, known):
        if line.parcel and line.parcel not in taken:
            added.append(Row(line.parcel, words[line.parcel], line.tracking))
        elif line.parcel:
            why = gettext("%(parcel)s has a number in the list below.") % {
                "parcel": words[line.parcel]
            }
            left.append(Line(line.text, why=why))
        else:
            left.append(line)
    return [*rows, *added], left
