"""The bench test sheet that comes with the tool. Limits are starting values, each with its mark."""

from dataclasses import dataclass

from django.utils.translation import gettext_noop as n

from builds.proving.states import Mark, Read, Wants


@dataclass(frozen=True)
class Typical:
    """A line of the sheet as a new shop gets it; the fields are those of ``SheetLine``."""

    code: str
    name: str
    read: str
    mark: str = Mark.COMMON
    wants: str = Wants.ANY
    unit: str = ""
    low: float | None = None
    high: float | None = None
    high_told: float | None = None
    times: int | None = None
    minutes: int | None = None
    reckons: str = ""
    in_short: bool = False
    in_blade: bool = False
    only_after: str = ""
    never_pass: bool = False
    how: str = ""
    caution: str = ""


_BRIGHT = n("Bright light: not into eyes. Flashing light can harm the photosensitive.")
_JIG = n("Blade in the hilt or a centring jig: held by hand against spring pins it shorts.")
_CLEAR = n("Area clear, nobody in line with the blade. Retention is tried before any swing.")
_ATTENDED = n("Attended, or isolated in a fire-safe place. Local fire rules come first.")

LINES: tuple[Typical, ...] = (
    Typical("joints", n("Joints under a loupe"), Read.EYE, Mark.PUBLISHED, in_blade=True,
            how=n("10×, a gentle tug: all strands in, gap of 1 to 2 wire diameters"),
            caution=n("Solder: fume extraction, wash hands. To tabs, never to a cell’s can.")),
    Typical("shorts", n("+ to −, no cell"), Read.FIGURE, unit="kΩ", low=1, in_short=True,
            in_blade=True, never_pass=True, how=n("ohmmeter, twice: no beep; OL where it is open"),
            caution=n("Cell out first.")),
    Typical("insulation", n("+ to the metal of the hilt"), Read.FIGURE, wants=Wants.HILT,
            unit="MΩ", low=1, in_short=True, never_pass=True,
            how=n("ohmmeter, in every position of the switches; OL where it is open")),
    Typical("plus-path", n("Plus path, holder to blade ring"), Read.FIGURE, wants=Wants.BLADE,
            unit="Ω", high=0.05, how=n("four wires")),
    Typical("wrap", n("Cell: wrap whole"), Read.EYE, wants=Wants.CELL, in_short=True,
            never_pass=True, how=n("both ends and all round, no dent, swelling or leak"),
            caution=n("Torn or damaged: ends taped, set aside in the place for rejects.")),
    Typical("cell", n("Cell: voltage"), Read.FIGURE, wants=Wants.CELL, unit="V", low=3.5,
            in_short=True, how=n("meter")),
    Typical("power", n("First power, no blade"), Read.FIGURE, wants=Wants.CELL, unit="A", high=0.5,
            in_short=True, only_after="shorts",
            how=n("bench supply at 3.7 V, limit 0.5 A: no trip; write the idle current down"),
            caution=n("Cell out while the supply feeds it. Watch the polarity.")),
    Typical("supply", n("Supply from 3.3 to 4.2 V"), Read.EYE, wants=Wants.CELL,
            how=n("it boots all the way; warns within 0.1 V of its set point")),
    Typical("switches", n("Switches, hilt tight"), Read.COUNT, wants=Wants.SWITCH, times=20,
            in_short=True, how=n("20 presses each: every one counts, none twice")),
    Typical("speaker", n("Speaker, DC resistance"), Read.FIGURE, Mark.MEMORY, Wants.SPEAKER,
            unit="%", low=85, high=100, reckons="speaker", how=n("meter; of its nominal value")),
    Typical("sweep", n("Speaker, sweep"), Read.EYE, Mark.MEMORY, Wants.SPEAKER,
            how=n("from low to high: no rattle"), caution=n("Loud: away from ears.")),
    Typical("slots", n("Every slot"), Read.COUNT, wants=Wants.CARD, reckons="slots",
            how=n("play all: none silent, clipped or in the wrong colour"), caution=_BRIGHT),
    Typical("depth", n("Blade seated"), Read.FIGURE, wants=Wants.BLADE, unit="mm", low=19,
            reckons="depth", in_short=True, how=n("depth gauge, in the hilt or a jig"),
            caution=_JIG),
    Typical("ends", n("Tip and connector"), Read.EYE, wants=Wants.ALONE, in_blade=True,
            how=n("tip and diffuser seated, no gap; every contact clean and level, none loose")),
    Typical("seated", n("Seated in its hilt"), Read.FIGURE, wants=Wants.TRIED, unit="mm", low=19,
            in_blade=True, how=n("depth gauge; it lies against its connector without force"),
            caution=_JIG),
    Typical("colours", n("Red, green, blue, white"), Read.EYE, wants=Wants.PIXELS, in_blade=True,
            how=n("full blade: every pixel, in every colour"), caution=_BRIGHT),
    Typical("pixels", n("Pixels counted"), Read.COUNT, wants=Wants.PIXELS, reckons="pixels",
            in_blade=True, how=n("both sides together")),
    Typical("slot-current", n("Current, brightest slot"), Read.FIGURE, wants=Wants.CELL, unit="A",
            reckons="current", how=n("clamp, after 10 s")),
    Typical("white-current", n("Current, full white"), Read.FIGURE, wants=Wants.PIXELS, unit="A",
            reckons="white", in_blade=True, how=n("clamp, after 10 s"), caution=_BRIGHT),
    Typical("white-volts", n("Voltage under white"), Read.FIGURE, wants=Wants.PIXELS, unit="V",
            low=3.3, how=n("at the board’s pads, after 10 s, from 4.0 V or more")),
    Typical("white-drop", n("Drop along the wires under white"), Read.FIGURE, Mark.REASONED,
            Wants.PIXELS, unit="V", high=0.7, reckons="drop",
            how=n("cell to blade, out and back; 4.0 V less 3.3 V is the most")),
    Typical("retention", n("Blade retention"), Read.FIGURE, wants=Wants.BLADE, unit="N", low=50,
            in_short=True, how=n("hand scale, pulled straight: write down what it held"),
            caution=_CLEAR),
    Typical("held", n("Held in its hilt"), Read.FIGURE, wants=Wants.TRIED, unit="N", low=50,
            in_blade=True, how=n("hand scale, pulled straight: write down what it held"),
            caution=_CLEAR),
    Typical("motion", n("Motion"), Read.COUNT, wants=Wants.HILT, times=20, in_short=True,
            only_after="retention", how=n("20 swings: no reboot"), caution=_CLEAR),
    Typical("impact", n("Impact"), Read.COUNT, wants=Wants.HILT, times=20,
            only_after="retention", how=n("20 taps: no reboot"), caution=_CLEAR),
    Typical("idle-drain", n("Idle drain, asleep"), Read.FIGURE, Mark.REASONED, Wants.CELL,
            unit="mA", high=2, high_told=6, reckons="idle", in_short=True,
            how=n("a meter that knows µA; cheap ones hide it")),
    Typical("isolated", n("Drain when isolated"), Read.FIGURE, wants=Wants.CELL, unit="mA",
            high=0.02, how=n("switch, key, or cell out; the same meter")),
    Typical("charge", n("Charge ends"), Read.FIGURE, Mark.MEMORY, Wants.PORT, unit="V", low=4.15,
            high=4.25, how=n("from 3.6 V or less, until it ends by itself"),
            caution=n("Attended, on a base that cannot burn. Never below 0 °C.")),
    Typical("heat-hilt", n("Heat of the hilt"), Read.FIGURE, wants=Wants.CELL, unit="°C", high=45,
            how=n("10 min at the brightest slot"), caution=_BRIGHT),
    Typical("heat-cell", n("Heat of the cell"), Read.FIGURE, wants=Wants.CELL, unit="°C", high=45,
            how=n("right after it"),
            caution=n("Hotter: isolate it and let it cool where nothing can burn.")),
    Typical("chassis", n("Chassis out and in"), Read.COUNT, wants=Wants.REMOVABLE, times=3,
            how=n("the customer’s way: works each time, marks meet"),
            caution=n("Blade out, isolated before the cell comes out.")),
    Typical("burn-in", n("Burn-in"), Read.TIMED, Mark.PUBLISHED, Wants.CELL, minutes=120,
            only_after="insulation", how=n("on and off, 10 cycles or more, no reboot"),
            caution=_ATTENDED),
    Typical("rest", n("Rest"), Read.TIMED, wants=Wants.CELL, unit="V", high=0.02, minutes=720,
            how=n("voltage before and after; what it lost"), caution=_ATTENDED),
    Typical("card", n("Card against its list"), Read.EYE, Mark.PUBLISHED, Wants.CARD,
            how=n("count, bytes and checksums are equal to the list")),
    Typical("leaves", n("Leaves as"), Read.EYE, wants=Wants.HILT, in_short=True,
            how=n("blade out, isolated, screws snug, charge written down")),
)  # fmt: skip
