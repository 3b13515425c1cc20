"""The bench tests of the demo: passed runs, one that failed once, one with a burn-in under way."""

from datetime import datetime, timedelta
from typing import Any

from builds.demo.days import token
from builds.progress.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Instrument, Run, RunLine
from builds.proving.states import Read
from builds.proving.values import Typed
from shop.people.models import User

METER, CLAMP, SCALE = "Multimeter, µA range", "Clamp meter", "Hand scale, 100 N"
_WITH = {"A": CLAMP, "N": SCALE, "°C": "Thermometer, contact", "mm": "Depth gauge"}
# What was read; any other line reads something well inside its limits.
_READ = {
    "shorts": "OL", "insulation": "OL", "plus-path": "0.031 Ω", "cell": "3.92 V",
    "power": "0.048 A", "white-volts": "3.52 V", "retention": "62 N", "isolated": "0.002 mA",
    "charge": "4.19 V", "heat-hilt": "34 °C", "heat-cell": "37 °C",
}  # fmt: skip
_A_MINUTE = timedelta(minutes=1)
REST = timedelta(hours=17)


def passed(build: Build, by: User, now: datetime) -> None:
    """A run in which everything passes, begun at a moment and read over the night after it."""
    run = _begin(build, by, now)
    keep(run, _read(run), by, now + 40 * _A_MINUTE)
    waited(run, by, now + 50 * _A_MINUTE)


def failed_once(build: Build, by: User, now: datetime) -> None:
    """Idle drain failed; its cause was found, and the re-test passed."""
    run = _begin(build, by, now)
    drain, others = _apart(run, "idle-drain")
    keep(run, others, by, now + 40 * _A_MINUTE)
    if drain is None:
        return waited(run, by, now + 50 * _A_MINUTE)
    later = now + 45 * _A_MINUTE
    bad = _read_with(drain, Typed("7.4 mA", 7.4), run, METER)
    made = proving.keep_readings(
        build.pk, run.pk, [bad], token=token("drain", build.pk), by=by, now=later
    )
    proving.put_right(
        build.pk, made.readings[0].pk, found_in=State.TEST, caused_in=State.INSTALL,
        cause="accent wired past the board’s switched output", minutes=35,
        token=token("rework", build.pk), by=by, now=later + 35 * _A_MINUTE,
    )  # fmt: skip
    good = _read_with(drain, Typed("1.1 mA", 1.1), run, METER)
    proving.keep_readings(
        build.pk, run.pk, [proving.Entry(good.line, good.figure, True, good.instrument,
                                         made.readings[0].pk)],
        token=token("drain again", build.pk), by=by, now=later + 40 * _A_MINUTE,
    )  # fmt: skip
    return waited(run, by, later + 50 * _A_MINUTE)


def half_way(build: Build, by: User, now: datetime) -> None:
    """The first half of the sheet is read, and the burn-in runs."""
    run = _begin(build, by, now - 80 * _A_MINUTE)
    lines = _read(run)
    keep(run, lines[: len(lines) // 2], by, now - 50 * _A_MINUTE)
    burn_in = run.lines.filter(code="burn-in").first()
    if burn_in:
        _start(run, burn_in, by, now - 40 * _A_MINUTE)


def _begin(build: Build, by: User, now: datetime) -> Run:
    for name in (METER, *_WITH.values()):
        proving.add_instrument(name, by=by, now=now)
    mark = token("run", build.pk)
    return proving.begin_run(build.pk, seen=0, token=mark, by=by, now=now)


def _read(run: Run) -> list[RunLine]:
    return [line for line in run.lines.all() if line.read != Read.TIMED]


def _apart(run: Run, code: str) -> tuple[RunLine | None, list[RunLine]]:
    lines = _read(run)
    one = next((line for line in lines if line.code == code), None)
    return one, [line for line in lines if line.code != code]


def keep(run: Run, lines: list[RunLine], by: User, now: datetime) -> None:
    """Readings that pass."""
    entries = [_passing(line, run) for line in lines]
    mark = token("readings", run.pk)
    proving.keep_readings(run.build_id, run.pk, entries, token=mark, by=by, now=now)


def _passing(line: RunLine, run: Run) -> proving.Entry:
    if line.read == Read.EYE:
        return proving.Entry(line.pk)
    value = _inside(line)
    text = _READ.get(line.code, f"{value:.4g} {line.unit}".strip())
    known = {"OL": Typed("OL", 1e6)}
    typed = known.get(text) or Typed(text, float(text.split()[0]))
    return _read_with(line, typed, run, _WITH.get(line.unit, METER if line.unit else ""))


def _inside(line: RunLine) -> float:
    """A number well inside the limits of a line."""
    if line.times is not None:
        return line.times
    if line.low is not None and line.high is not None:
        return (line.low + line.high) / 2
    return line.low * 1.02 if line.low is not None else 0.6 * (line.high or 1)


def _read_with(line: RunLine, typed: Typed, run: Run, name: str) -> proving.Entry:
    instrument = Instrument.objects.filter(name=name).first()
    return proving.Entry(line.pk, typed, True, instrument.pk if instrument else None)


def _start(run: Run, line: RunLine, by: User, now: datetime) -> None:
    volts = 4120 if line.unit else None
    mark = token("timer", line.pk)
    proving.begin_timer(run.build_id, run.pk, line.pk, millivolts=volts, token=mark, by=by, now=now)


def waited(run: Run, by: User, now: datetime) -> None:
    """Burn-in and rest, begun at a moment and read when both are over."""
    for line in run.lines.filter(read=Read.TIMED):
        _start(run, line, by, now)
        facts: dict[str, Any] = {"is_right": True, "millivolts": 4115 if line.unit else None}
        proving.end_timer(
            run.build_id, run.pk, line.pk, **facts, token=token("end", line.pk), by=by,
            now=now + REST,
        )  # fmt: skip
