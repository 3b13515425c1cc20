"""The power page of one build: what it says at the top, and its tables, as finished data."""

from dataclasses import dataclass, replace
from math import inf

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.engineering.power import Budget, Limit, Rating, Run
from builds.fitting.drawing import lengths_in
from builds.fitting.loads import Given, Judged, Resisted, Shown
from builds.fitting.loads.judged import FULL_WHITE, WHITE, limits_of, powered_days
from builds.fitting.power_words import hows, numbers
from builds.fitting.power_words.hows import Opened
from builds.fitting.power_words.lacks import first_words
from builds.fitting.queries.findings import Found, Said
from builds.sounds.words import colour_word


@dataclass(frozen=True)
class Answer:
    """The one line at the top: its words, its colour, and what is beside it."""

    text: str
    tone: str
    beside: str = ""


@dataclass(frozen=True)
class SlotRow:
    """A slot, or full white on paper: what it takes, how long, and what is tightest."""

    place: int
    name: str
    colour: str
    word: str
    strip: Opened | None
    worst: Opened | None = None
    typical: Opened | None = None
    runtime: Opened | None = None
    tightest: str = ""
    tightest_name: str = ""
    tone: str = ""


@dataclass(frozen=True)
class LimitRow:
    """A limit beside what passes it in the build's own slots, and at full white."""

    name: str
    current: Opened
    limit: Opened
    margin: str
    tone: str
    paper: str
    paper_tone: str
    table: str = ""
    upper: str = ""


@dataclass(frozen=True)
class WireRow:
    """A run of wire: what it loses, what is left at its far end."""

    name: str
    gauge: str
    length: str
    is_guess: bool
    drop: Opened
    left: str
    tone: str


@dataclass(frozen=True)
class ResistorRow:
    """An LED or accent with its resistor, or why none helps."""

    name: str
    quantity: int
    exact: Opened | None = None
    chosen: str = ""
    current: Opened | None = None
    working: Opened | None = None
    full: Opened | None = None
    rating: str = ""
    why_not: str = ""


@dataclass(frozen=True)
class Times:
    """How long the cell lasts: at work, at rest."""

    worst: Opened
    typical: Opened
    idle: Opened | None
    idle_tone: str
    powered: Opened | None
    powered_tone: str
    least: str


@dataclass(frozen=True)
class Page:
    """All of it."""

    answer: Answer
    more_stops: tuple[Said, ...]  # beside the first, which is the answer
    slots: tuple[SlotRow, ...]
    limits: tuple[LimitRow, ...]
    wires: tuple[WireRow, ...]
    resistors: tuple[ResistorRow, ...]
    times: Times | None
    sound: Opened | None
    sound_current: Opened | None
    sound_rating: str


def power_page(found: Found, unit: str = "mm") -> Page:
    """What the power page of a build shows, lengths in the unit that the shop reads."""
    with lengths_in(unit):
        return _page(found)


def _page(found: Found) -> Page:
    power = found.judged
    sounding, cored = power.sounding, power.cored
    amplifier = next((each for each in power.drawn if each.how == "speaker"), None)
    rating = sounding.rating if sounding else None
    return Page(
        answer=answer(found),
        more_stops=tuple(found.stops[1:]),
        slots=tuple(_slots(power)),
        limits=tuple(_limits(power)),
        wires=tuple(_wires(power)),
        resistors=tuple(_resistor(each) for each in power.resistors),
        times=_times(power),
        sound=hows.sound(sounding, cored) if sounding and cored else None,
        sound_current=hows.drawn(amplifier) if amplifier else None,
        sound_rating=numbers.rating(rating.value / 1000) if rating else "",
    )


def answer(found: Found) -> Answer:
    """Whether the cell carries every slot, and for how long; or what stops it, or is missing."""
    power = found.judged
    if found.stops:
        more = len(found.stops) - 1
        rest = ngettext("%(n)d thing more stops it.", "%(n)d things more stop it.", more)
        return Answer(found.stops[0].text, "stop", rest % {"n": more} if more else "")
    if found.blocking or power.own is None:
        return Answer(_("No answer yet."), "brass", first_words(list(found.blocking)))
    time = numbers.hours(power.own.runtime_worst_h)
    text = _("The cell carries every slot. Runtime about %(time)s at the brightest.")
    open_ones = len(found.to_decide)
    wanted = ngettext("%(n)d decision to take.", "%(n)d decisions to take.", open_ones)
    beside = wanted % {"n": open_ones} if open_ones else ""
    return Answer(text % {"time": time}, "met", beside)


def _slots(power: Judged) -> list[SlotRow]:
    rows = [_slot(power, slot, power.wants.cap) for slot in power.wants.slots]
    return [*rows, _slot(power, Shown(0, _("full white"), WHITE), 1.0)]


def _slot(power: Judged, slot: Shown, cap: float) -> SlotRow:
    is_paper = slot.place == 0
    known = power.wants.is_cap_set or is_paper
    strip = hows.strip(power.strip, slot, cap, known) if power.strip else None
    row = SlotRow(slot.place, slot.name, slot.colour, colour_word(slot.colour), strip)
    budgets = power.verdict.budgets if power.verdict else {}
    budget = budgets.get(FULL_WHITE if is_paper else slot.case)
    if budget is None or power.cored is None:
        return row
    parts = _parts(power, slot, cap)
    tight = min(budget.limits, key=lambda held: held.margin_a / held.limit_a)
    worst = hows.total(budget.worst_a, parts)
    return SlotRow(
        row.place, row.name, row.colour, row.word, strip, worst, _typical(power, budget, slot, cap),
        hows.runtime(budget.runtime_worst_h, budget.worst_a, power.cored, worst.is_guess),
        numbers.margin(tight), tight.name, _tone(tight, is_paper=is_paper),
    )  # fmt: skip


def _parts(power: Judged, slot: Shown, cap: float) -> list[tuple[str, float, bool]]:
    parts = [(each.load.name, each.load.worst_a, each.is_guess) for each in power.drawn]
    if power.strip:
        lit = power.strip.worst_a(slot.colour, cap * slot.worst)
        parts.insert(0, (power.strip.name, lit, power.strip.is_guess))
    return parts


def _typical(power: Judged, budget: Budget, slot: Shown, cap: float) -> Opened:
    parts = [(each.load.name, each.load.typical_a, True) for each in power.drawn]
    if power.strip:
        lit = power.strip.typical_a(slot.colour, cap * slot.typical)
        parts.insert(0, (power.strip.name, lit, True))
    return hows.total(budget.typical_a, parts)


def _tone(held: Limit, *, is_paper: bool) -> str:
    """Red where own slots break it; brass where full white does, or where it is near."""
    if not held.ok or held.past_upper:
        return "brass" if is_paper else "stop"
    return "brass" if held.near else "met"


def _limits(power: Judged) -> list[LimitRow]:
    if power.verdict is None:
        return []
    paper = power.verdict.budgets[FULL_WHITE]
    own = [power.verdict.budgets[slot.case] for slot in power.wants.slots] or [paper]
    known = limits_of(power)
    rows = []
    for place, white in enumerate(paper.limits):
        worst = max((budget.limits[place] for budget in own), key=lambda held: held.current_a)
        rows.append(_limit(power, known, worst, white, is_paper=not power.wants.slots))
    if power.charge:
        rows += [_charge(power, held) for held in power.charge.limits[1:]]
    return rows


def _limit(
    power: Judged, known: dict[str, Given], worst: Limit, white: Limit, *, is_paper: bool
) -> LimitRow:
    run = next((run for run in power.path.runs if run.name == worst.name), None)
    given = known.get(worst.name)
    upper = numbers.limit(worst.upper_a) if worst.upper_a is not None else ""
    current, bears = (
        _passing(power, worst), hows.limit_of(worst, given if run is None else None, run),
    )  # fmt: skip
    if not worst.ok:  # as finely as makes the three agree
        finely = numbers.passed(worst.current_a, worst.limit_a)
        current, bears = replace(current, text=finely.current), replace(bears, text=finely.limit)
    return LimitRow(
        worst.name,
        current,
        bears,
        numbers.margin(worst),
        _tone(worst, is_paper=is_paper),
        numbers.current(white.current_a),
        _tone(white, is_paper=True),
        worst.table,
        upper,
    )


def _passing(power: Judged, held: Limit) -> Opened:
    """What passes a limit in the slot that drives most through it."""
    parts: tuple[Run | Rating, ...] = (*power.path.runs, *power.path.ratings)
    carried = next((part.carries for part in parts if part.name == held.name), ())
    slot = max(power.wants.slots, key=lambda slot: _taken(power, slot, carried), default=None)
    shown, cap = (slot, power.wants.cap) if slot else (Shown(0, FULL_WHITE, WHITE), 1.0)
    passing = [part for part in _parts(power, shown, cap) if not carried or part[0] in carried]
    return hows.total(held.current_a, passing)


def _taken(power: Judged, slot: Shown, carried: tuple[str, ...]) -> float:
    parts = _parts(power, slot, power.wants.cap)
    return sum(part[1] for part in parts if not carried or part[0] in carried)


def _charge(power: Judged, held: Limit) -> LimitRow:
    given = power.charge_given
    inputs = (hows.said(given),) if given else ()
    current = Opened(numbers.current(held.current_a), _("the port's"), inputs)
    upper = numbers.limit(held.upper_a) if held.upper_a is not None else ""
    limit = hows.plain(numbers.limit(held.limit_a), held.source)
    tone = _tone(held, is_paper=False)
    return LimitRow(
        held.name, current, limit, numbers.margin(held), tone, "", "", held.table, upper
    )


def _wires(power: Judged) -> list[WireRow]:
    if power.verdict is None:
        return []
    paper = power.verdict.budgets[FULL_WHITE]
    own = [power.verdict.budgets[slot.case] for slot in power.wants.slots] or [paper]
    guesses = {wired.name for wired in power.wants.wires if wired.is_guess}
    rows = []
    for place, run in enumerate(power.path.runs):
        worst = min((budget.drops[place] for budget in own), key=lambda drop: drop.left_v)
        is_guess = run.name in guesses
        length = numbers.length(run.one_way_m) if run.one_way_m else ""
        side = f"{run.parallel} × " if run.parallel > 1 else ""
        rows.append(
            WireRow(
                run.name,
                f"{side}{hows.gauge(run.gauge)}{numbers.THIN}AWG",
                length,
                is_guess,
                hows.lost(worst, run, is_guess),
                numbers.volts(worst.left_v),
                "brass" if worst.low else "met",
            )
        )
    return rows


def _resistor(each: Resisted) -> ResistorRow:
    found = each.resistor
    if found is None:
        return ResistorRow(each.name, each.quantity, why_not=each.why_not)
    full_w, rating = found.full_dissipation_w or 0.0, found.rating_w
    return ResistorRow(
        each.name,
        each.quantity,
        hows.resistor(each, numbers.ohms(found.exact_ohm), "R = (U − U_f) / I"),
        numbers.ohms(found.chosen_ohm),
        hows.resistor(each, numbers.current(found.current_a), "I = (U − U_f) / R"),
        hows.resistor(each, numbers.watts(found.dissipation_w), "P = (U − U_f)² / R"),
        hows.resistor(each, numbers.watts(full_w), "P = (U − U_f)² / R", full=True),
        numbers.rating(rating) if rating else _("none large enough"),
    )


def _times(power: Judged) -> Times | None:
    if power.verdict is None or power.cored is None or power.own is None:
        return None
    own, cored = power.own, power.cored
    least = power.wants.least_idle_days
    asleep = _("current at rest")
    powered = powered_days(power)
    dark = power.strip.dark_a if power.strip else 0.0
    return Times(
        hows.runtime(own.runtime_worst_h, own.worst_a, cored, True),
        hows.runtime(own.runtime_typical_h, own.typical_a, cored, True),
        hows.idle(own.idle_days, own.idle_a, cored, asleep) if power.idle_is_known else None,
        _idle_tone(own.idle_days, least),
        hows.idle(powered, own.idle_a + dark, cored, asleep) if powered is not None else None,
        _idle_tone(powered if powered is not None else inf, least),
        numbers.days(least),
    )


def _idle_tone(days: float, least: float) -> str:
    return "met" if days >= least * (1 - 1e-9) else "brass"
