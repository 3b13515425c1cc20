"""What the demo shop quoted: agreed, out and waiting, and a change order for a stuck joint."""

from datetime import datetime
from decimal import Decimal

from builds.demo.days import token
from builds.demo.walk import Walk
from builds.desk.actions.orders import Job, book_job
from builds.desk.queries.orders import order_sheet
from builds.desk.queries.quotes import job_of
from builds.desk.queries.rush import rush_line
from builds.progress import quoting
from builds.progress.models import Build
from builds.progress.states import Kind
from shop.house.queries import house
from shop.orders.actions import (
    LineFacts,
    ask_consent,
    draft_quote,
    quote_seen,
    save_draft,
)
from shop.orders.models import AnswerKind, Enquiry, How, Item, LineOf, Order, Quote

Typed = tuple[str, str, str, str, int]  # kind, words, from, to, each in pence
OnItem = tuple[Typed, Item | None]

_POSTED: Typed = (LineOf.POSTAGE, "Post, tracked and insured", "1", "1", 1400)
# Hilt → working days ago that it was quoted, and the lines.
_AGREED: dict[str, tuple[int, tuple[Typed, ...]]] = {
    "Copperfen": (29, (
        (LineOf.HOURS, "Measure, chassis, wiring, assembly, tests", "6", "8.5", 4200),
        (LineOf.EXTRA, "Board, speaker, cell, switch, strip", "1", "1", 19_800),
        (LineOf.EXTRA, "Pixel blade, 92 cm", "1", "1", 6500),
        _POSTED,
    )),
    "Long Quiet": (28, (
        (LineOf.HOURS, "Long chassis, wiring, assembly, tests", "9", "11", 4200),
        (LineOf.EXTRA, "Board, speaker, two cells, two switches", "1", "1", 24_600),
        _POSTED,
    )),
    "Saltmarsh No. 3": (33, (
        (LineOf.HOURS, "Board out and in, charging port", "3", "4", 4200),
        (LineOf.EXTRA, "Board and charging port", "1", "1", 14_200),
        _POSTED,
    )),
    "Heron two-piece": (25, (
        (LineOf.HOURS, "Take apart, chassis, wiring, assembly, tests", "8", "10", 4200),
        (LineOf.EXTRA, "Board, speaker, cell, switch, lights", "1", "1", 21_400),
        _POSTED,
    )),
    "Brindle": (17, (
        (LineOf.HOURS, "Removable chassis, wiring, assembly, tests", "7", "9", 4200),
        (LineOf.EXTRA, "Board, speaker, cell, switch, charging port", "1", "1", 20_300),
        _POSTED,
    )),
}  # fmt: skip
_OF_A_PAIR: tuple[Typed, ...] = (
    (LineOf.HOURS, "Measure, chassis, wiring, assembly, tests", "7", "9", 4200),
    (LineOf.EXTRA, "Board, speaker, cell, switch", "1", "1", 19_000),
)
_STUCK: Typed = (LineOf.HOURS, "Free the seized coupling, dress its thread", "1.5", "3", 4200)
_FOUND = (
    "The coupling is seized: an old thread locker, cured hard. Hands and strap moved nothing. We "
    "would warm it and turn it while hot, then dress the thread."
)
_HEAT = (
    "May we warm the stuck coupling until the old locker lets go? The black at its rim may dull, "
    "and a seal inside may have to be replaced."
)
_OTTOLINE = {
    "called": "Ottoline", "full_name": "Ottoline Brack", "email": "ottoline@brack.example",
    "phone": "01632 960265", "address": "8 Wharf Row\nSouthmere\nZZ4 8WR", "country": "GB",
    "note": "",
}  # fmt: skip
_QUIETER: tuple[Typed, ...] = (
    (LineOf.HOURS, "Speaker and cell out and in, tests", "2", "3", 4200),
    (LineOf.EXTRA, "Speaker 28, cell 18 × 65", "1", "1", 2600),
    _POSTED,
)


def show(walk: Walk, made: dict[str, Build]) -> None:
    """Quote what runs, quote what was asked for, and ask about the joint."""
    for hilt, (ago, lines) in _AGREED.items():
        build = made[hilt]
        _agree(walk, build.item.order, ago, _on(build, lines))
    _pair(walk, made["Kestrel first"], made["Kestrel second"])
    _out(walk)
    _change(walk, made["Heron two-piece"])


def _on(build: Build, lines: tuple[Typed, ...]) -> list[OnItem]:
    """Lines on the job of a build; what is posted is of the whole order."""
    return [(line, None if line[0] == LineOf.POSTAGE else build.item) for line in lines]


def _pair(walk: Walk, one: Build, other: Build) -> None:
    """Two hilts of one order, that may go together or as they are ready."""
    lines = [*_on(one, _OF_A_PAIR), *_on(other, _OF_A_PAIR), (_POSTED, None)]
    _agree(walk, one.item.order, 12, lines)


def _agree(walk: Walk, order: Order, ago: int, lines: list[OnItem]) -> None:
    oda = walk.crew.oda
    sent = _sent(walk, order, lines, walk.days.back(ago, 12))
    quoting.answer(
        sent.pk, is_yes=True, how=How.MAIL, words="Yes, that is fine, please go on.", by=oda,
        now=walk.days.back(ago - 1, 9, 20),
    )  # fmt: skip


def _out(walk: Walk) -> None:
    """The enquiry that has our answer: a quote in a hurry, which waits since yesterday."""
    oda, now = walk.crew.oda, walk.days.back(1, 9, 40)
    asked = Enquiry.objects.get(called="Ottoline Brack")
    job = Job(kind=Kind.REPAIR, leaves_by="post", wanted=asked.wishes, hilt_name="Tallow Street")
    order = book_job(
        job, customer=_OTTOLINE, token=token("quote", "order"), by=oda, now=now, enquiry=asked,
        needed_by=walk.days.ahead(16),
    )  # fmt: skip
    draft = draft_quote(order, token=token("quote", order.number), by=oda, now=now)
    facts = _facts(_on(Build.objects.get(item__order=order), _QUIETER))
    sheet = order_sheet(order.number)
    if sheet and (rush := rush_line(draft, facts, sheet, house(), job_of(sheet))):
        facts.insert(-1, rush)
    save_draft(draft.pk, facts, {}, seen=quote_seen(draft), by=oda, now=now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=oda, now=now)


def _change(walk: Walk, build: Build) -> None:
    oda, now = walk.crew.oda, walk.days.back(3, 10, 10)
    draft = quoting.start_change(
        build, because=_FOUND, minutes=55, token=token("change", build.number),
        by=walk.crew.jory, now=now,
    )  # fmt: skip
    lines = (*_AGREED["Heron two-piece"][1][:-1], _STUCK, _POSTED)
    terms = {"because": _FOUND, "minutes_so_far": 55}
    later = walk.days.back(3, 11, 30)
    _write(draft, _on(build, lines), terms, walk, later)
    quoting.send(draft.pk, seen=quote_seen(draft), by=oda, now=later)
    ask_consent(
        build.item, AnswerKind.HEAT, _HEAT, token=token("heat", build.number), by=oda, now=later
    )


def _sent(walk: Walk, order: Order, lines: list[OnItem], now: datetime) -> Quote:
    oda = walk.crew.oda
    draft = draft_quote(order, token=token("quote", order.number), by=oda, now=now)
    _write(draft, lines, {}, walk, now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=oda, now=now)
    return draft


def _write(
    draft: Quote, lines: list[OnItem], terms: dict[str, object], walk: Walk, now: datetime
) -> None:
    facts = _facts(lines)
    save_draft(draft.pk, facts, terms, seen=quote_seen(draft), by=walk.crew.oda, now=now)


def _facts(lines: list[OnItem]) -> list[LineFacts]:
    tax = house().tax_hundredths
    return [
        LineFacts(
            kind, words, int(Decimal(low) * 1000), int(Decimal(high) * 1000), each, tax,
            item=item,
        )
        for (kind, words, low, high, each), item in lines
    ]  # fmt: skip
