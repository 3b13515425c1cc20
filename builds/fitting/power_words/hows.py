"""How a figure came about: its formula, what went into it, who says so."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from builds.engineering import wire
from builds.engineering.power import Drop, Limit, Run
from builds.fitting.loads import Drawn, Given, Resisted, Shown, Strip
from builds.fitting.loads.core import Cored, Sounding
from builds.fitting.power_words import numbers

WRITTEN = "written"


@dataclass(frozen=True)
class Input:
    """A number that went into a figure, as it is shown."""

    label: str
    text: str
    source: str
    is_guess: bool = False
    others: tuple[str, ...] = ()


@dataclass(frozen=True)
class Opened:
    """A figure that opens to its formula, its inputs, its source."""

    text: str
    formula: str = ""
    inputs: tuple[Input, ...] = ()
    source: str = ""
    is_guess: bool = False
    tone: str = ""


def said(given: Given, source: str = "") -> Input:
    """An input with who says so; others that say more stand beside it."""
    others = tuple(
        _("%(value)s says %(who)s") % {"value": numbers.plain(value, given.unit), "who": who}
        for value, who in given.others
    )
    return Input(
        str(given.label),
        numbers.plain(given.value, given.unit),
        str(given.source) or source or _source(given),
        given.is_guess,
        others,
    )


def _source(given: Given) -> str:
    if given.is_guess:
        return _("typical of such parts, came with the tool")
    return _("written down with the part")


def _own(label: str, text: str, source: str = "", is_guess: bool = False) -> Input:
    return Input(label, text, source or _("this build's"), is_guess)


def _of_slot(slot: Shown, cap: float, is_cap_set: bool, share: float) -> list[Input]:
    light = _own(_("colour"), slot.colour)
    capped = _own(_("brightness cap"), f"{cap * 100:.0f}{numbers.THIN}%", is_guess=not is_cap_set)
    look = Input(
        _("share of light of the look"),
        f"{share * 100:.0f}{numbers.THIN}%",
        _("common practice, no source"),
        share < 1,
    )
    return [light, capped, look]


STRIP_FORMULA = "I = N × ((R + G + B) / 255 × b × I_ch + I_q)"


def strip(found: Strip, slot: Shown, cap: float, is_cap_set: bool) -> Opened:
    """The current of the pixels in a slot."""
    inputs = [said(found.pixels), *_of_slot(slot, cap, is_cap_set, slot.worst)]
    return Opened(
        numbers.current(found.worst_a(slot.colour, cap * slot.worst)),
        STRIP_FORMULA,
        (*inputs, said(found.channel), said(found.quiescent)),
        _("pixels' data sheets; Adafruit, guide to powering pixels"),
        found.is_guess,
    )


def total(worst_a: float, parts: Iterable[tuple[str, float, bool]]) -> Opened:
    """A current that several loads take together."""
    listed = list(parts)
    inputs = tuple(
        Input(name, numbers.current(ampere), _("its own sum"), is_guess)
        for name, ampere, is_guess in listed
    )
    guess = any(is_guess for _name, _ampere, is_guess in listed)
    return Opened(
        numbers.current(worst_a), _("the sum of what is on"), inputs, _("Kirchhoff's law"), guess
    )


def drawn(found: Drawn) -> Opened:
    """What a load that is the same in every slot takes at most."""
    formula = {
        "light": _("current at full light × how many; an LED's at a full cell, by its resistor"),
        "board": _("as its sheet says"),
        "speaker": "I = P / (η × U)",
    }[found.how]
    inputs = tuple(said(given) for given in found.inputs)
    return Opened(
        numbers.current(found.load.worst_a), formula, inputs, _("Ohm's law"), found.is_guess
    )


def runtime(hour: float, ampere: float, cored: Cored, is_guess: bool) -> Opened:
    """How long a full cell runs at a current."""
    inputs = (
        said(cored.capacity),
        said(cored.usable),
        Input(_("current"), numbers.current(ampere), _("its own sum"), is_guess),
    )
    return Opened(
        numbers.hours(hour),
        _("capacity × usable share / current"),
        inputs,
        _("closed form; that four fifths are usable is common practice, no source"),
        True,
    )


def idle(day: float, ampere: float, cored: Cored, note: str) -> Opened:
    """How long a full cell lies."""
    inputs = (
        said(cored.capacity),
        Input(note, numbers.current(ampere), _("its own sum")),
        said(cored.self_discharge),
    )
    return Opened(
        numbers.days(day),
        _("capacity / (current + capacity × lost a month / 730 h) / 24"),
        inputs,
        _("closed form, a month of 730 h"),
        True,
    )


def limit_of(held: Limit, given: Given | None, run: Run | None) -> Opened:
    """A limit, with who says so; where sources differ, the lower one counts."""
    if run is not None:
        return _of_wire(held, run)
    inputs = (said(given),) if given else ()
    formula = _("the lower of what sources state") if given and given.others else _("as stated")
    guess = given.is_guess if given else False
    return Opened(numbers.limit(held.limit_a), formula, inputs, held.source, guess)


def _of_wire(held: Limit, run: Run) -> Opened:
    inputs = [
        _own(_("gauge"), f"{gauge(run.gauge)}{numbers.THIN}AWG"),
        _own(_("side by side"), str(run.parallel)),
        Input(_("table"), held.table, held.source),
    ]
    if held.upper_a is not None:
        free = Input(_("free air, never more"), numbers.limit(held.upper_a), wire.UPPER.source)
        inputs.append(free)
    return Opened(
        numbers.limit(held.limit_a), _("the table's line × wires side by side"), tuple(inputs),
        held.source,
    )  # fmt: skip


def gauge(number: int | str) -> str:
    """A gauge as it is written: 0000 for -3."""
    found = wire.gauge_number(number)
    return str(found) if found > 0 else "0" * (1 - found)


def lost(found: Drop, run: Run, is_guess: bool) -> Opened:
    """What a run loses out and back."""
    inputs = (
        _own(_("gauge"), f"{gauge(run.gauge)}{numbers.THIN}AWG"),
        _own(_("one way"), numbers.length(run.one_way_m), is_guess=is_guess),
        _own(_("side by side"), str(run.parallel)),
        Input(
            _("copper's temperature"), f"{run.temperature_c:.0f}{numbers.THIN}°C",
            _("common practice, no source"), True,
        ),
        Input(_("current"), numbers.current(found.current_a), _("its own sum")),
    )  # fmt: skip
    formula = _("2 × length × current × resistance of 1 m / wires side by side")
    return Opened(numbers.drop(found.drop_v), formula, inputs, "IEC 60028, ASTM B258", is_guess)


def resistor(found: Resisted, text: str, formula: str, *, full: bool = False) -> Opened:
    """A figure of an LED's resistor."""
    volt = found.full_v if full else found.supply_v
    label = _("full cell") if full else _("working voltage")
    inputs: tuple[Input, ...] = (
        _own(label, numbers.volts(volt), _("the cell's")),
        said(found.forward),
        said(found.current),
    )
    if found.resistor:
        chosen = _own(_("resistor taken"), numbers.ohms(found.resistor.chosen_ohm), "IEC 60063")
        inputs = (*inputs, chosen)
    return Opened(text, formula, inputs, _("Ohm's law"), found.current.is_guess)


def sound(found: Sounding, cored: Cored) -> Opened:
    """The power that the amplifier can give the speaker."""
    inputs = [said(cored.full), said(found.ohm)]
    if found.board_limit:
        inputs.append(said(found.board_limit))
    formula = _("U² / 2R, a bridge's clean sine; or what the board gives, if that is less")
    guess = found.ohm.is_guess
    return Opened(
        numbers.watts(found.most_w), formula, tuple(inputs), _("closed form"), guess,
        "stop" if found.is_over else "",
    )  # fmt: skip


def plain(text: Any, source: str = "", is_guess: bool = False) -> Opened:
    """A figure that opens to nothing more than who says so."""
    return Opened(str(text), "", (), source, is_guess)
