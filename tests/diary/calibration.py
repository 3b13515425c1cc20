"""How often what the forecast says at 50, 80 and 95 % holds, in shops whose truth it never sees.

Each shop has hours of its own; the forecast learns them from the shop's finished builds alone. One
future of each shop then runs in simpy, by the true hours. ``python -m tests.diary.calibration 300``
prints the table.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import exp, log
from random import Random
from typing import NamedTuple

from shop.diary import learned
from shop.diary.forecast import ODDS, Extra, Job, Limits, Person, Spread, Stage, Wait, queue
from tests.diary.shops import DAY, MONDAY, weekdays
from tests.diary.simpy_shop import Shop, lognormal

KINDS = ("full", "upgrade", "repair")
STAGES = ("intake", "teardown", "install", "test", "dispatch")
CAUSES = {"parts": learned.Guess(240, 0.6, 2.5), "answer": learned.Guess(60, 0.9, 4.0)}
SHARE = 0.8


Hours = dict[tuple[str, str], Spread]
Extras = dict[str, Extra]
Waits = dict[str, Spread]


class Truth(NamedTuple):
    """What is so of one shop, and what it remembers of it."""

    hours: Hours
    extras: Extras
    waits: Waits
    past: dict[tuple[str, str], list[float]]
    past_extras: dict[str, tuple[list[float], int]]
    past_waits: dict[str, list[float]]


@dataclass
class Held:
    """Counts of what was said and what came of it."""

    said: int = 0
    held: dict[float, int] = field(default_factory=lambda: dict.fromkeys(ODDS, 0))
    bins: list[list[float]] = field(default_factory=lambda: [[] for _bin in range(10)])
    kept: list[int] = field(default_factory=lambda: [0] * 10)

    def share(self, odds: float) -> float:
        """How many in a hundred of the moments given at these odds held."""
        return 100 * self.held[odds] / self.said


def _truth(random: Random) -> Truth:
    pace = random.gauss(0, 0.25)
    hours: Hours = {}
    past: dict[tuple[str, str], list[float]] = {}
    finished = random.choice((0, 3, 8, 15, 30, 60))
    for kind in KINDS:
        for stage in STAGES:
            middle = learned.FIRST_GUESSES[kind][stage] * exp(pace + random.gauss(0, 0.2))
            hours[kind, stage] = Spread(middle, random.uniform(0.25, 0.5))
            past[kind, stage] = _draws(random, hours[kind, stage], finished)
    waits = {
        cause: Spread(
            each.median_h * exp(random.gauss(0, 0.4)), each.log_sd * random.uniform(0.7, 1.2)
        )
        for cause, each in CAUSES.items()
    }
    extras = {"stuck": _extra(random, 2, 0.5), "rework": _extra(random, 1.5, 0.6)}
    past_extras = {name: _had(random, each, 3 * finished) for name, each in extras.items()}
    past_waits = {cause: _draws(random, each, 2 * finished) for cause, each in waits.items()}
    return Truth(hours, extras, waits, past, past_extras, past_waits)


def _draws(random: Random, spread: Spread, count: int) -> list[float]:
    left = lognormal(random)
    return [left(spread, 0.0) for _build in range(count)]


def _extra(random: Random, median_h: float, sd: float) -> Extra:
    chance = random.uniform(0.05, 0.3)
    return Extra(Spread(median_h * exp(random.gauss(0, 0.3)), sd), 1e6 * chance, 1e6 * (1 - chance))


def _had(random: Random, extra: Extra, builds: int) -> tuple[list[float], int]:
    chance = extra.yes / (extra.yes + extra.no)
    return _draws(
        random, extra.spread, sum(random.random() < chance for _b in range(builds))
    ), builds


def _learned_extra(name: str, past_h: list[float], builds: int) -> learned.LearnedExtra:
    guess, (yes, no) = {
        "stuck": (learned.STUCK, learned.STUCK_CHANCE),
        "rework": (learned.REWORK, learned.REWORK_CHANCE),
    }[name]
    return learned.on_top(name, guess, past_h, builds, yes=yes, no=no)


def _learned(truth: Truth) -> tuple[Hours, Extras, Waits]:
    """Hours, extras and waits as the shop's past teaches them."""
    hours = {
        (kind, stage): learned.hours(f"{kind} {stage}", learned.guess(kind, stage), past).spread
        for (kind, stage), past in truth.past.items()
    }
    extras = {name: _learned_extra(name, *past).extra for name, past in truth.past_extras.items()}
    waits = {
        cause: learned.hours(cause, CAUSES[cause], past).spread
        for cause, past in truth.past_waits.items()
    }
    return hours, extras, waits


class Plan(NamedTuple):
    """What both sides see of one build."""

    kind: str
    first: int  # how many stages are over
    worked_h: float
    wait: tuple[int, str, float] | None  # before which stage, for what, for how long already
    promise_min: float


def _plans(random: Random, truth: Truth) -> list[Plan]:
    count, opened = random.randint(4, 16), random.randint(0, 3)
    return [_plan(random, truth, place, place < opened) for place in range(count)]


def _plan(random: Random, truth: Truth, place: int, opened: bool) -> Plan:
    kind = random.choice(KINDS)
    first = random.randint(1, 3) if opened else 0
    worked = _lasted(random, truth.hours[kind, STAGES[first]]) if opened else 0.0
    wait = None
    if random.random() < 0.3:
        cause = random.choice(sorted(CAUSES))
        wait = (random.randint(first + opened, 4), cause, _lasted(random, truth.waits[cause]))
    days = 2 + (place + 1) * random.uniform(0.6, 3.5)
    return Plan(kind, first, worked, wait, _promise(days))


def _lasted(random: Random, spread: Spread) -> float:
    """How long something has lasted that is found under way: long spans are found more often."""
    whole = random.lognormvariate(log(spread.median_h) + spread.log_sd**2, spread.log_sd)
    return random.random() * whole


def _promise(days: float) -> float:
    """The cut-off, at three, of the last dispatch day, Monday or Friday, until then."""
    day = next(each for each in range(int(days), -7, -1) if each % 7 in (0, 4))
    return day * DAY + 15 * 60 - MONDAY


def _job(key: int, plan: Plan, hours: Hours, extras: Extras, waits: Waits) -> Job:
    stages = []
    for place, code in enumerate(STAGES[plan.first :], start=plan.first):
        held: tuple[Wait, ...] = ()
        if plan.wait and plan.wait[0] == place:
            held = (Wait(plan.wait[1], waits[plan.wait[1]], plan.wait[2]),)
        more = {"teardown": (extras["stuck"],), "test": (extras["rework"],)}.get(code, ())
        stages.append(
            Stage(
                code,
                hours[plan.kind, code],
                worked_h=plan.worked_h if place == plan.first else 0.0,
                rest_h=14 if code == "test" else 0,
                waits=held,
                extras=more,
            )
        )
    return Job(key, tuple(stages), plan.first > 0, plan.promise_min)


def _people(random: Random) -> list[Person]:
    helper = weekdays(random.choice((9, 10, 13)) * 60, random.choice((15, 16)) * 60, weeks=120)
    return [weekdays(weeks=120)] if random.random() < 0.5 else [weekdays(weeks=120), helper]


def _shop(random: Random, runs: int, seed: int) -> Iterator[tuple[dict[float, bool], float, bool]]:
    """Of each build: which moments held, the odds of its promise, and whether that was kept."""
    truth, people = _truth(random), _people(random)
    plans = _plans(random, truth)
    limits = Limits(opened=4 * len(people), stages=(("test", 2 * len(people)),))
    said = queue(
        [_job(key, plan, *_learned(truth)) for key, plan in enumerate(plans)],
        people, limits=limits, share=SHARE, runs=runs, seed=seed,
    )  # fmt: skip
    true = [
        _job(key, plan, truth.hours, truth.extras, truth.waits) for key, plan in enumerate(plans)
    ]
    came = Shop(true, people, limits, SHARE, random, lognormal(random)).run()
    for outlook, finished, plan in zip(said, came, plans, strict=True):
        given = zip(ODDS, outlook.finish_min, strict=True)
        held = {odds: minute is None or finished <= minute for odds, minute in given}
        yield held, outlook.odds or 0.0, finished <= plan.promise_min


def measure(shops: int, seed: int = 1, runs: int = 2000) -> Held:
    """One future of each of so many shops."""
    found = Held()
    for number in range(shops):
        for held, odds, kept in _shop(Random(f"{seed}:{number}"), runs, number):
            found.said += 1
            for share, did in held.items():
                found.held[share] += did
            place = min(int(odds * 10), 9)
            found.bins[place].append(odds)
            found.kept[place] += kept
    return found


def table(found: Held) -> str:
    """The table as it stands in DEVELOPERS.md."""
    lines = ["| given at | held |", "| --- | --- |"]
    lines += [f"| {odds:.0%} | {found.share(odds):.1f} % |" for odds in ODDS]
    lines += ["", "| odds of the promise | builds | said | kept |", "| --- | --- | --- | --- |"]
    for place, said in enumerate(found.bins):
        if said:
            span = f"{place * 10} to {place * 10 + 10} %"
            mean, kept = 100 * sum(said) / len(said), 100 * found.kept[place] / len(said)
            lines.append(f"| {span} | {len(said)} | {mean:.1f} % | {kept:.1f} % |")
    return "\n".join(lines)


if __name__ == "__main__":
    shops, seed = (int(each) for each in (*sys.argv[1:], "300", "1")[:2])
    sys.stdout.write(table(measure(shops, seed)) + "\n")
