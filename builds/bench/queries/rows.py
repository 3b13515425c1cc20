"""Rows of builds: for each, the one thing that it wants, and the one button."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID, uuid4

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.bench.queries.holds import awaits
from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, parcel_of
from builds.gates.conditions import Asked, Condition, before_packing, to_leave_and_to_start
from builds.progress.models import Build, Hold, Stretch
from builds.progress.queries import freed_holds, open_holds
from builds.progress.states import ON_THE_RULE, Leaves, State, next_stage
from builds.progress.worked import running_of
from builds.queue.queries import Due, dues
from builds.queue.queries.dues import days_for
from builds.queue.queries.ready import is_ready
from builds.queue.queries.said import Said, said
from shop.diary.queries import Calendar
from shop.orders.models import AnswerKind
from shop.web.dated import dated

STARTABLE = {State.TEARDOWN, State.INSTALL, State.TEST}
# What nobody can pass, but which is only a matter of doing it.
WORK_ON_IT = frozenset({"parcel", "packed"})


@dataclass(frozen=True)
class Button:
    """What a row's one button says and does.

    ``deed`` is the address that it posts to; without one it is a link to ``url``. ``is_go`` fills
    it: it can be done now.
    """

    label: str
    url: str = ""
    deed: str = ""
    is_go: bool = False
    token: UUID | None = None
    expected: str = ""


@dataclass(frozen=True)
class Row:
    """One build on the bench, in finished data for a template."""

    build: Build
    conditions: Sequence[Condition]
    holds: Sequence[Hold]
    freed: Sequence[Hold]  # over because the parts came, and nobody has taken note
    due: Due | None
    days_left: int | None
    said: Said | None  # by the forecast, where it can say anything
    parcel: Parcel | None
    leaves: date | None
    headline: str
    detail: str
    tone: str
    button: Button
    running: Sequence[Stretch]  # timers
    can_time: bool
    timer_token: UUID

    @property
    def timed_by(self) -> set[int]:
        """Whose timers run on it."""
        return {stretch.by_id for stretch in self.running}

    @property
    def missing(self) -> list[Condition]:
        """What is not met yet."""
        return [found for found in self.conditions if not found.is_open]

    @property
    def met(self) -> list[Condition]:
        """What is met, or passed."""
        return [found for found in self.conditions if found.is_open]

    @property
    def met_count(self) -> int:
        """How many conditions are met or passed."""
        return len(self.met)

    @property
    def is_for_collection(self) -> bool:
        """Whether it waits to be handed over in person."""
        at_the_end = self.build.state == State.DISPATCH
        return at_the_end and self.build.leaves_by == Leaves.COLLECTION

    @property
    def is_ready(self) -> bool:
        """Whether it stands ready: it only waits to be fetched."""
        return is_ready(self.build, self.conditions)

    @property
    def url(self) -> str:
        """The build sheet."""
        return sheet(self.build)

    @property
    def name(self) -> str:
        """The hilt's name, or the blade's, or that there is no more than a blade."""
        about = self.build.hilt or self.build.blade
        return about.name if about else _("Blade only")

    @property
    def is_held(self) -> bool:
        """Whether a hold stops it now."""
        return any(not held.before for held in self.holds)

    @property
    def is_late(self) -> bool:
        """Whether its day has passed, and it does not stand ready to be fetched."""
        return self.days_left is not None and self.days_left < 0 and not self.is_ready

    @property
    def is_here(self) -> bool:
        """Whether its parcel has come."""
        return any(one.code == "arrived" and one.is_open for one in self.conditions)

    @property
    def is_stopped(self) -> bool:
        """Whether something that nobody can pass stops it, other than work on its parcel."""
        return any(lack.never_pass and lack.code not in WORK_ON_IT for lack in self.missing)

    @property
    def is_to_pack(self) -> bool:
        """Whether it lacks nothing but a parcel, and what is done as that is packed."""
        return is_to_pack(self.build, self.conditions)

    @property
    def answer_wanted(self) -> str:
        """The kind of the answer that its gate waits for, or nothing."""
        kinds = (lack.code for lack in self.missing if lack.code in AnswerKind.values)
        return next(kinds, "")

    @property
    def asks_again(self) -> bool:
        """Whether it waits for the customer to say again that the work is wanted."""
        return any(lack.code == "reconfirmed" for lack in self.missing) and not self.is_held

    @property
    def is_in_danger(self) -> bool:
        """Whether its day has passed or its odds are low; without odds, whether it is near.

        Near: it is due soon and not in dispatch.
        """
        if self.days_left is None or self.is_ready:
            return False
        if self.said and not self.parcel:
            return self.is_late or self.said.is_danger
        in_time = self.build.state == State.DISPATCH and not self.is_stopped
        near = self.days_left <= 3 and not in_time
        return self.is_late or near or (self.is_held and self.days_left <= 7)


def with_own_tokens(row: Row) -> Row:
    """The same row for another look: two tablets must not tap with one token."""
    button = replace(row.button, token=uuid4()) if row.button.token else row.button
    return replace(row, button=button, timer_token=uuid4())


def is_to_pack(build: Build, asked: Sequence[Condition]) -> bool:
    """Whether a build in dispatch lacks nothing but a parcel, and what is done in that."""
    wants_one = any(one.code == "parcel" and not one.is_open for one in asked)
    return build.state == State.DISPATCH and wants_one and not before_packing(asked)


def sheet(build: Build, part: str = "") -> str:
    """Where a build's sheet is, or a part of it."""
    return reverse("bench_sheet", args=[build.number]) + part


def rows(builds: Iterable[Build], calendar: Calendar, now: datetime) -> list[Row]:
    """Rows for builds, in a constant number of queries."""
    found = list(builds)
    return rows_of(to_leave_and_to_start(found), calendar, now)


def rows_of(asked: Asked, calendar: Calendar, now: datetime) -> list[Row]:
    """The same, where the gates were asked already."""
    found, leaving, starting = asked.builds, asked.leaving, asked.starting
    ids = [build.pk for build in found]
    holds, due_days, parcels = open_holds(ids), dues(ids, calendar, now), parcel_of(ids)
    odds = said(due_days, now)
    today, freed, timed = calendar.today(now), freed_holds(ids), running_of(ids)
    made = []
    for build in found:
        stands = _Stands(
            build=build,
            leaving=leaving[build.pk],
            starting=starting[build.pk],
            hold=next((held for held in holds.get(build.pk, []) if not held.before), None),
            parcel=parcels.get(build.pk),
            leaves=_leaves(parcels.get(build.pk), calendar, now),
        )
        due = due_days.get(build.pk)
        headline, detail, tone = _words(stands, today)
        made.append(
            Row(
                build=build,
                conditions=stands.leaving,
                holds=holds.get(build.pk, []),
                freed=[held for held in freed.get(build.pk, []) if held.ended_at is None],
                due=due,
                days_left=days_for(build, calendar).days_left(due.day, now) if due else None,
                said=odds.get(build.pk),
                parcel=stands.parcel,
                leaves=stands.leaves,
                headline=headline,
                detail=detail,
                tone=tone,
                button=_button(stands, calendar, now),
                running=timed.get(build.pk, []),
                can_time=stands.can_time,
                timer_token=uuid4(),
            )
        )
    return made


def _leaves(parcel: Parcel | None, calendar: Calendar, now: datetime) -> date | None:
    return day_of(parcel, calendar, now) if parcel else None


@dataclass(frozen=True)
class _Stands:
    """How a build stands, for choosing words and button."""

    build: Build
    leaving: Sequence[Condition]
    starting: Sequence[Condition]
    hold: Hold | None
    parcel: Parcel | None
    leaves: date | None

    @property
    def waits(self) -> bool:
        return self.build.state in STARTABLE and self.build.started_at is None

    @property
    def can_time(self) -> bool:
        if self.build.state not in ON_THE_RULE or self.hold:
            return False
        return not (self.waits and self.missing)

    @property
    def missing(self) -> list[Condition]:
        asked = self.starting if self.waits else self.leaving
        missing = [found for found in asked if not found.is_open]
        if self.build.state != State.DISPATCH or self.parcel:
            return missing
        # What is done as it is packed comes after what keeps it from being packed.
        return sorted(missing, key=lambda found: found not in before_packing(missing))


def _words(stands: _Stands, today: date) -> tuple[str, str, str]:
    """Headline, detail and tone of a row."""
    if stands.hold:
        return _words_of_hold(stands.hold, today)
    missing = stands.missing
    if is_to_pack(stands.build, stands.leaving):
        return _("Ready to pack"), "", "met"
    if missing:
        met = len(stands.leaving) - len([one for one in stands.leaving if not one.is_open])
        others = _("%(met)d of %(all)d met") % {"met": met, "all": len(stands.leaving)}
        tone = "stop" if missing[0].code == "cell-aside" else "brass"
        return missing[0].text, others if len(stands.leaving) > 1 else "", tone
    if stands.leaves:
        return _("Packed"), dated(stands.leaves, "long"), "met"
    if stands.waits:
        return _("Waits its turn"), _words_to_leave(stands), "quiet"
    if stands.build.started_by and stands.build.state in STARTABLE:
        who = _("started by %s") % stands.build.started_by.name
        return _("All %d met") % len(stands.leaving) if stands.leaving else _("At work"), who, "met"
    return _("All %d met") % len(stands.leaving), "", "met"


def _words_to_leave(stands: _Stands) -> str:
    """What it will take to leave the stage in which a build waits; empty where that is nothing."""
    missing = [found for found in stands.leaving if not found.is_open]
    if not missing:
        return ""
    first, more = missing[0].text.rstrip("."), len(missing) - 1
    if not more:
        return _("To leave: %s") % first
    return _("To leave: %(first)s, and %(n)d more") % {"first": first, "n": more}


def _words_of_hold(held: Hold, today: date) -> tuple[str, str, str]:
    if held.line:
        return _("On hold: %s") % held.words, awaits(held, today), "brass"
    ask = _("ask again %s") % dated(held.chase_on, "short")
    return _("On hold: %s") % held.words, f"{held.get_turn_display()}, {ask}", "brass"


def _button(stands: _Stands, calendar: Calendar, now: datetime) -> Button:
    build = stands.build
    if stands.hold:
        return Button(_("Open hold"), sheet(build, "#holds"))
    if stands.missing:
        return _button_of_missing(stands, calendar, now)
    if stands.waits:
        label = _("Start %s") % build.get_state_display()
        deed = reverse("bench_start", args=[build.number])
        return Button(label, deed=deed, is_go=True, expected=build.state)
    onward = next_stage(build.state)
    if onward:
        label = _("To %s") % onward.label
        deed = reverse("bench_move", args=[build.number])
        return Button(label, deed=deed, is_go=True, token=uuid4(), expected=build.state)
    if build.leaves_by == Leaves.COLLECTION:
        return Button(_("Hand it over"), reverse("bench_collect", args=[build.number]), is_go=True)
    day = stands.leaves or calendar.today(now)
    return Button(
        _("Leaves %s") % dated(day, "weekday"),
        reverse("bench_dispatch") + f"?day={day.isoformat()}",
        is_go=True,
    )


def _button_of_missing(stands: _Stands, calendar: Calendar, now: datetime) -> Button:
    build, first = stands.build, stands.missing[0]
    day = calendar.next_dispatch_day(now)
    if day and is_to_pack(build, stands.leaving):
        return Button(
            _("Pack for %s") % dated(day, "weekday"),
            deed=reverse("bench_pack", args=[build.number]),
            is_go=True,
            token=uuid4(),
            expected=day.isoformat(),
        )
    if stands.parcel and not before_packing(stands.missing):
        return Button(_("Pack it"), reverse("dispatch_parcel", args=[stands.parcel.pk]) + "#list")
    if first.code == "arrived":
        return Button(first.deed, reverse("bench_arrival_new") + f"?build={build.number}")
    where = first.link if first.is_elsewhere else sheet(build, first.link)
    return Button(first.deed, where)
