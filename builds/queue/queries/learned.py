"""What the shop's own past says of hours of work, of replies and of parcels on their way here."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F

from builds.progress.models import Hold, Move
from builds.progress.states import ON_THE_RULE, HoldReason, Kind, State
from builds.progress.worked import Past, past_by_kind
from builds.queue.values import ANSWER, CARRIER, ITEM, PARTS, PAYMENT, SHOP
from shop.diary import learned
from shop.diary.forecast import Extra, Spread
from shop.diary.learned import Guess, Learned, LearnedExtra
from shop.diary.queries import Calendar
from shop.orders.models import QuoteState

LOOK_BACK = timedelta(days=730)
NEWEST = 60  # waits of one reason; older ones say little of today's customers
NOTHING = Past(0, {}, [], [])
# What a hold waits for, and its first guess. Common practice, no source.
CAUSES: dict[str, str] = {
    HoldReason.PARTS: PARTS, HoldReason.PART_WRONG: PARTS, HoldReason.ANSWER: ANSWER,
    HoldReason.ITEM: ITEM, HoldReason.SOUNDS: ITEM, HoldReason.DEPOSIT: PAYMENT,
    HoldReason.BALANCE: PAYMENT, HoldReason.SHOP: SHOP, HoldReason.STUCK: ANSWER,
    HoldReason.CARRIER: CARRIER, HoldReason.WARRANTY: ANSWER, HoldReason.OTHER: SHOP,
}  # fmt: skip
WAITS: dict[str, Guess] = {
    PARTS: Guess(8 * 24, 0.8), ANSWER: Guess(2 * 24, 1.2), PAYMENT: Guess(3 * 24, 1.2),
    ITEM: Guess(8 * 24, 0.8), CARRIER: Guess(4 * 24, 0.8), SHOP: Guess(2 * 24, 1.0),
}  # fmt: skip


@dataclass(frozen=True)
class Known:
    """Hours per kind and stage, what comes on top, and how long what is waited for takes."""

    stages: Mapping[tuple[str, str], Learned]
    rework: Mapping[str, LearnedExtra]
    stuck: Mapping[str, LearnedExtra]
    builds: Mapping[str, int]  # kind → finished builds
    waits: Mapping[str, Learned]  # cause → hours

    def extras(self, kind: str, stage: str) -> tuple[Extra, ...]:
        """What some builds of a kind bring on top in a stage: joints that stick, what failed."""
        if stage == State.TEARDOWN:
            return (self.stuck[kind].extra,)
        return (self.rework[kind].extra,) if stage == State.TEST else ()

    def wait(self, cause: str) -> Spread:
        """How long what is waited for takes, from its beginning."""
        return self.waits[cause].spread


def known(calendar: Calendar, now: datetime) -> Known:
    """All that the shop's finished builds and ended holds have taught."""
    past = past_by_kind(calendar, now)
    of_kind = {kind.value: past.get(kind.value, NOTHING) for kind in Kind}
    replies = _replies(now)
    return Known(
        stages={
            (kind, stage.value): stage_hours(kind, stage, found)
            for kind, found in of_kind.items()
            for stage in ON_THE_RULE
        },
        rework={kind: rework_of(found) for kind, found in of_kind.items()},
        stuck={kind: stuck_of(found) for kind, found in of_kind.items()},
        builds={kind: found.builds for kind, found in of_kind.items()},
        waits={
            cause: learned.hours(f"wait {cause}", guess, replies.get(cause, ()))
            for cause, guess in WAITS.items()
        },
    )


def stage_hours(kind: str, stage: str, past: Past) -> Learned:
    """The hours of one stage of a kind of job."""
    spent = past.work_h.get(stage, [])
    return learned.hours(f"{kind} {stage}", learned.guess(kind, stage), spent)


def rework_of(past: Past) -> LearnedExtra:
    """How often work is done again, and what it takes."""
    yes, no = learned.REWORK_CHANCE
    return learned.on_top("rework", learned.REWORK, past.rework_h, past.builds, yes=yes, no=no)


def stuck_of(past: Past) -> LearnedExtra:
    """How often a joint is stuck, and what it takes."""
    yes, no = learned.STUCK_CHANCE
    return learned.on_top("stuck", learned.STUCK, past.stuck_h, past.builds, yes=yes, no=no)


def _replies(now: datetime) -> dict[str, list[float]]:
    """Cause → hours of the holds that are over, the newest first."""
    spans: dict[str, list[float]] = defaultdict(list)
    for reason, since, until in sorted(_over(now), key=lambda row: row[2], reverse=True):
        if len(spans[CAUSES[reason]]) < NEWEST:
            spans[CAUSES[reason]].append((until - since) / timedelta(hours=1))
    spans[ITEM] += _ways_here(now)
    return spans


def _over(now: datetime) -> Iterator[tuple[str, datetime, datetime]]:
    """Reason, beginning and end of the newest holds: ended by hand, or by the answer to a quote."""
    by_hand = Hold.objects.filter(ended_at__gte=now - LOOK_BACK, ended_at__gt=F("since"))
    answered = Hold.objects.filter(
        ended_at=None,
        quote__state__in=(QuoteState.ACCEPTED, QuoteState.DECLINED),
        quote__answered_at__gte=now - LOOK_BACK,
        quote__answered_at__gt=F("since"),
    )
    for rows, end in ((by_hand, "ended_at"), (answered, "quote__answered_at")):
        most = NEWEST * len(WAITS)
        yield from rows.order_by(f"-{end}").values_list("reason", "since", end)[:most]


def _ways_here(now: datetime) -> list[float]:
    """Hours from booking until the hilt came, of the newest builds that were booked first."""
    came = Move.objects.filter(
        from_state=State.BOOKED, to_state=State.INTAKE, undoes=None, at__gte=now - LOOK_BACK
    )
    rows = came.order_by("-at").values_list("was_since", "at")[:NEWEST]
    return [(at - since) / timedelta(hours=1) for since, at in rows if at > since]
