"""Reads the page of dates: the line as rows along the rule of days."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.progress.states import Kind
from builds.queue.models import Outlook, Reckoning
from builds.queue.queries.behind import finished
from builds.queue.queries.danger import Way, trouble, way_out
from builds.queue.queries.dues import Due, days_for, dues
from builds.queue.queries.line import in_line
from builds.queue.queries.outlooks import early_day, newest, outlooks
from builds.queue.queries.ready import ready_since
from builds.queue.queries.ruler import Piece, Rule, rule_of
from builds.queue.queries.said import Names, Said, names, said
from builds.queue.queries.words import day_words, drive_words, percent_words, range_words
from shop.diary.learned import ENOUGH
from shop.diary.models import ExtraDay
from shop.diary.queries import Calendar, people_hours
from shop.web.dated import dated

WIDE = timedelta(days=14)  # from even odds to 19 in 20: a date that far from sure looks so


@dataclass(frozen=True)
class Flag:
    """The day of a promise on the rule."""

    x: float
    look: str


@dataclass(frozen=True)
class DateRow:
    """One build of the line, in finished data."""

    build: Build
    name: str
    url: str
    place: int
    is_young: bool  # too few finished builds of its kind stand behind it
    is_in_danger: bool
    is_late: bool
    is_waiting: bool
    early: date | None
    outlook: Outlook | None
    said: Said | None  # of its day, where the run may say odds of it
    trouble: str  # why it is in danger, in words
    way: Way | None  # and what helps
    due: Due | None
    day_line: str
    promise_line: str
    tone: str
    drives: str
    bars: tuple[Piece, ...]
    flag: Flag | None
    goes_on: bool  # past the end of the rule

    @property
    def odds(self) -> str:
        """The odds of its day in words; nothing where they are not to be told."""
        return "" if self.is_waiting or self.said is None else percent_words(self.said.odds)

    @property
    def table_days(self) -> list[str]:
        """By which days it leaves, at even odds, at 80 and at 95 per cent."""
        if self.outlook is None:
            return ["", "", ""]
        known = (self.outlook.day_50, self.outlook.day_80, self.outlook.day_95)
        if self.is_young:
            return [_("from %s") % day_words(self.early), "", _("to %s") % day_words(known[2])]
        return [day_words(day) for day in known]


@dataclass(frozen=True)
class Dates:
    """The whole page."""

    run: Reckoning | None
    reckoned: str  # when, in words
    rows: list[DateRow]
    rule: Rule
    young: list[tuple[str, int]]  # kinds in the line with too few finished builds behind them
    behind: int  # finished builds that the hours were learned from

    @property
    def in_danger(self) -> list[DateRow]:
        """Promises that may not hold, the least likely first."""
        found = [row for row in self.rows if row.is_in_danger]
        return sorted(found, key=lambda row: row.said.odds if row.said else 0.0)


def dates(calendar: Calendar, now: datetime) -> Dates:
    """Every open build in the order of the line, with what the newest run says of it."""
    builds = list(open_builds())
    ids = [build.pk for build in builds]
    due, seen, counts = dues(ids, calendar, now), outlooks(ids), finished(calendar, now)
    ordered = in_line(builds, due)
    rule = rule_of(calendar, calendar.today(now), _days(seen, due))
    told = said(due, now)
    making = _Rows(
        calendar=calendar,
        now=now,
        rule=rule,
        seen=seen,
        due=due,
        told=told,
        names=names(told.values()),
        ready=ready_since(builds),
        counts=counts,
    )
    kinds = {build.kind for build in builds}
    return Dates(
        run=newest(),
        reckoned=_reckoned(newest(), calendar, now),
        rows=[making.row(build, place) for place, build in enumerate(ordered, 1)],
        rule=rule,
        young=[
            (str(kind.label), counts.get(kind.value, 0))
            for kind in Kind
            if kind in kinds and counts.get(kind.value, 0) < ENOUGH
        ],
        behind=sum(counts.values()),
    )


def _days(seen: Mapping[int, Outlook], due: Mapping[int, Due]) -> list[date | None]:
    return [*(one.day_95 for one in seen.values()), *(one.day for one in due.values())]


def _reckoned(run: Reckoning | None, calendar: Calendar, now: datetime) -> str:
    """When the run was made: the time of today, else its day as well."""
    if run is None:
        return ""
    at = run.made_at.astimezone(calendar.zone)
    if at.date() == calendar.today(now):
        return _("at %s") % dated(at, "clock")
    return _("on %(day)s at %(at)s") % {
        "day": dated(at, "short"), "at": dated(at, "clock"),
    }  # fmt: skip


@dataclass(frozen=True)
class _Rows:
    """Makes the rows; what it knows belongs to one run."""

    calendar: Calendar
    now: datetime
    rule: Rule
    seen: Mapping[int, Outlook]
    due: Mapping[int, Due]
    told: Mapping[int, Said]
    names: Names
    ready: Mapping[int, datetime]
    counts: Mapping[str, int]

    def row(self, build: Build, place: int) -> DateRow:
        outlook, due = self.seen.get(build.pk), self.due.get(build.pk)
        is_young = self.counts.get(build.kind, 0) < ENOUGH
        diary, told = days_for(build, self.calendar), self.told.get(build.pk)
        is_over = bool(due and diary.days_left(due.day, self.now) < 0)
        is_late = is_over and build.pk not in self.ready
        danger = bool(told and told.is_danger)
        early = early_day(outlook, diary) if outlook else None
        tone = "stop" if is_late else "brass" if danger else ""
        is_waiting = bool(due and due.is_waiting)
        about = build.hilt or build.blade
        return DateRow(
            build=build,
            name=about.name if about else _("Blade only"),
            url=reverse("bench_sheet", args=[build.number]),
            place=place,
            is_young=is_young,
            is_in_danger=danger or (is_late and not is_waiting),
            is_late=is_late,
            is_waiting=is_waiting,
            early=early,
            outlook=outlook,
            said=told,
            trouble=trouble(told) if told and danger else "",
            way=way_out(told, self.names, build.number) if told and danger else None,
            due=due,
            day_line=_day_line(outlook, early, is_young),
            promise_line=_promise_line(told, due, is_late),
            tone=tone,
            drives=drive_words(outlook.drives, outlook.waits_h) if outlook else "",
            bars=self._bars(outlook, early, is_young),
            flag=Flag(self.rule.middle(due.day), tone) if due and self._is_on(due.day) else None,
            goes_on=bool(outlook and self.rule.is_beyond(outlook.day_95)),
        )

    def _is_on(self, day: date) -> bool:
        return self.rule.first <= day <= self.rule.last

    def _bars(
        self, outlook: Outlook | None, early: date | None, is_young: bool
    ) -> tuple[Piece, ...]:
        if outlook is None or early is None:
            return ()
        by_50, by_80, by_95 = outlook.day_50, outlook.day_80, outlook.day_95
        if is_young:
            return (self.rule.piece(early, by_95, "range"),)
        wide = by_50 is None or by_95 is None or by_95 - by_50 > WIDE
        unsure = " unsure" if wide else ""
        bars = [self.rule.piece(early, by_50, "early")]
        if by_50:
            bars.append(self.rule.piece(by_50, by_80, f"likely{unsure}"))
        if by_80 and by_95 != by_80:
            bars.append(self.rule.piece(by_80 + timedelta(days=1), by_95, f"late{unsure}"))
        return tuple(bars)


def _day_line(outlook: Outlook | None, early: date | None, is_young: bool) -> str:
    if outlook is None:
        return _("not reckoned yet")
    if is_young:
        return range_words(early, outlook.day_95)
    return _("by %s") % day_words(outlook.day_80)


def _promise_line(said: Said | None, due: Due | None, is_late: bool) -> str:
    if due is None:
        return _("no day told")
    told = {"day": day_words(due.day)}
    if due.is_waiting:
        return _("due %(day)s, its day moves along") % told
    if is_late:
        return _("due %(day)s: that day is past") % told
    if said is None:
        return _("due %(day)s") % told
    return _("due %(day)s: %(odds)s") % {**told, "odds": percent_words(said.odds)}


def lacks(calendar: Calendar) -> list[tuple[str, str, str]]:
    """What a shop must say before dates can be reckoned: sentence, url name, deed."""
    found = []
    if not calendar.hours:
        found.append((
            _("Nobody has said yet when the shop works."), "desk_hours", _("Set the hours"),
        ))  # fmt: skip
    if not calendar.dispatch_weekdays:
        found.append((
            _("No weekday is a dispatch day: nothing would ever leave."),
            "desk_hours", _("Set the dispatch days"),
        ))  # fmt: skip
    if not any(each.person.at_bench and each.week for each in people_hours(calendar)):
        found.append((
            _("Nobody of the staff works on builds."), "desk_people", _("Say who does"),
        ))  # fmt: skip
    return found


def extra_days(today: date) -> list[ExtraDay]:
    """Coming days that somebody works on top of the week."""
    return list(ExtraDay.objects.filter(day__gte=today).select_related("person").order_by("day"))
