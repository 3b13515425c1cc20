"""The page of a build's bench test: its run, line by line, in words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.progress.models import Build
from builds.progress.states import State
from builds.proving.models import Instrument, Reading, Run, RunLine, SheetLine
from builds.proving.queries.proofs import came_to_test, is_old
from builds.proving.queries.standing import Standing, Stands, ends, standing
from builds.proving.states import Read
from builds.proving.values import number
from builds.sounds.models import CardCheck
from builds.sounds.queries.cards import held_whole

_CARD = "card"  # the line that the look at a card answers
_LATELY = 400  # readings looked at for what each test was last read with


@dataclass(frozen=True)
class Row:
    """One line as the page shows it.

    ``may_read``: a reading of it would be kept now; ``waits``: what must pass before it;
    ``held``: the look that found the card as its list.
    """

    stands: Stands
    limit: str
    waits: str = ""
    may_read: bool = False
    is_again: bool = False
    timer_is_over: bool = False
    held: CardCheck | None = None

    @property
    def line(self) -> RunLine:
        """The line itself."""
        return self.stands.line

    @property
    def is_eye(self) -> bool:
        """Whether it is one tap."""
        return self.line.read == Read.EYE

    @property
    def asks_card(self) -> bool:
        """Whether it is answered by holding a card against its list."""
        return self.line.code == _CARD and self.may_read

    @property
    def times(self) -> int | None:
        """So many of so many, in one tap."""
        return self.line.times

    @property
    def timer_runs(self) -> bool:
        """Whether a timer of it is under way, or over and not read yet."""
        timer = self.stands.timer
        is_let_by = self.stands.let_by is not None
        return timer is not None and timer.stopped_at is None and not is_let_by


@dataclass(frozen=True)
class SheetPage:
    """All that the page says. ``run`` is none before the first."""

    build: Build
    runs: Sequence[Run]
    found: Standing | None = None
    rows: Sequence[Row] = ()
    is_old: bool = False
    is_newest: bool = True

    @property
    def newest_number(self) -> int:
        """The number of the newest run, 0 for none."""
        return self.runs[0].number if self.runs else 0

    @property
    def is_in_test(self) -> bool:
        """Whether anything can be done here now."""
        return self.build.state == State.TEST

    @property
    def can_read(self) -> bool:
        """Whether readings are kept."""
        return self.is_in_test and self.found is not None and self.is_newest and not self.is_old

    @property
    def next(self) -> Row | None:
        """The first line that can be read and is not, past those that run by themselves."""
        open_ones = [row for row in self.rows if row.stands.is_open and not row.waits]
        at_hand = [row for row in open_ones if not row.timer_runs or row.timer_is_over]
        return next(iter(at_hand), None)

    @property
    def timer_runs(self) -> bool:
        """Whether the page waits for something that runs by itself."""
        return self.can_read and any(row.timer_runs and not row.timer_is_over for row in self.rows)

    @property
    def to_let(self) -> list[Row]:
        """What the owner may let by."""
        return [row for row in self.rows if row.stands.is_open and not row.line.never_pass]


def sheet_page(build: Build, now: datetime, number: int = 0, again: int = 0) -> SheetPage:
    """The page of the newest run, or of the one of a number.

    :param again: a line that is to be read once more though it passed.
    """
    runs = list(Run.objects.filter(build=build).select_related("begun_by"))
    chosen = next((run for run in runs if run.number == number), None) if number else None
    run = chosen or (runs[0] if runs else None)
    if run is None:
        return SheetPage(build, runs)
    old, is_newest = is_old(run, came_to_test([build.pk]).get(build.pk)), run is runs[0]
    found = standing(run)
    can = build.state == State.TEST and is_newest and not old
    rows = [_row(found, each, can, again, now) for each in found.lines]
    rows = [_with_card(row, build) for row in rows]
    return SheetPage(build, runs, found, rows, old, is_newest)


def _row(found: Standing, each: Stands, can: bool, again: int, now: datetime) -> Row:
    first = found.waits_for(each.line)
    is_again = each.line.pk == again
    wanted = each.is_open or is_again
    return Row(
        each,
        limit_words(each.line),
        waits=first.line.name if first else "",
        may_read=can and wanted and not first and not each.asks_rework,
        is_again=is_again,
        timer_is_over=each.timer is not None and ends(each.timer, now),
    )


def _with_card(row: Row, build: Build) -> Row:
    return replace(row, held=held_whole(build)) if row.asks_card else row


def limit_words(line: RunLine | SheetLine) -> str:
    """The limits of a line in words, empty for what is seen by eye."""
    if line.times is not None:
        return _("%(n)d of %(n)d") % {"n": line.times}
    if line.read == Read.TIMED:
        return _timed(line)
    if line.read == Read.EYE:
        return ""
    return _figures(line)


def _figures(line: RunLine | SheetLine) -> str:
    facts = {
        "low": number(line.low or 0), "high": number(line.high or 0), "unit": line.unit,
        "told": number(line.high_told or 0),
    }  # fmt: skip
    if line.low is not None and line.high is not None:
        return _("%(low)s to %(high)s %(unit)s") % facts
    if line.low is not None:
        return _("at least %(low)s %(unit)s") % facts
    if line.high is None:
        return _("no limit: for the record")
    if line.high_told is not None and line.high_told > line.high:
        return _("at most %(high)s %(unit)s; told up to %(told)s %(unit)s") % facts
    return _("at most %(high)s %(unit)s") % facts


def _timed(line: RunLine | SheetLine) -> str:
    hours, minutes = divmod(line.minutes or 0, 60)
    said = [ngettext("%d hour", "%d hours", hours) % hours] if hours else []
    said += [_("%d min") % minutes] if minutes or not hours else []
    if line.high is not None:
        facts = {"high": number(line.high), "unit": line.unit}
        said.append(_("drop at most %(high)s %(unit)s") % facts)
    return ", ".join(said)


def instruments() -> list[Instrument]:
    """What readings are taken with, by name."""
    return list(Instrument.objects.filter(retired=False))


def last_with(codes: Iterable[str], by_id: int) -> dict[str, int]:
    """Code of a test → what it was last read with, by this person rather than by others."""
    rows = Reading.objects.filter(instrument__retired=False).order_by("-pk")
    lately = list(rows.values_list("line__code", "instrument", "by")[:_LATELY])
    asked, found = set(codes), dict[str, int]()
    for mine in (True, False):
        for code, instrument, by in lately:
            if code in asked and (by == by_id) is mine:
                found.setdefault(code, instrument)
    return found
