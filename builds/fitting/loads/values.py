"""What the sums of power are made from, each number with who says so."""

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy

from builds.engineering import pixels
from builds.engineering.led import Resistor
from builds.engineering.power import Load
from shop.stores.queries import Figure, Figures

PRACTICE = gettext_lazy("common practice, no source")


@dataclass(frozen=True)
class Given:
    """A number that goes into a sum. ``others``: what other sources state, higher than this."""

    label: Any  # may be a lazy text
    value: float
    unit: str
    source: Any = ""  # may be a lazy text
    is_guess: bool = False
    others: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True)
class Chosen:
    """A part of the list with its figures. ``stores``: its key there, None for a customer's own."""

    name: str
    kind: str
    quantity: int
    figures: Figures
    stores: int | None = None

    def given(self, name: str) -> Given | None:
        """A figure as a sum takes it, None where nobody has said it."""
        figure, number = self.figures.by_name.get(name), self.figures.number(name)
        return None if figure is None or number is None else _given(figure, number)

    def word(self, name: str) -> str:
        """A figure that is a word, empty where nobody has said it."""
        return self.figures.word(name)


def _given(figure: Figure, number: float) -> Given:
    others = tuple((float(other.value), other.source) for other in figure.others)
    quantity = figure.quantity
    return Given(
        quantity.label, number, str(quantity.unit), figure.source, figure.is_typical, others
    )


@dataclass(frozen=True)
class Wired:
    """A wire of the list; ``is_guess`` where its length is one, ``row`` its key there."""

    name: str
    carries: str
    gauge: int
    length_mm: int
    parallel: int = 1
    is_guess: bool = False
    row: int | None = None


@dataclass(frozen=True)
class Shown:
    """A slot: its colour, and the shares of its light that its look burns."""

    place: int
    name: str
    colour: str
    worst: float = 1.0
    typical: float = 1.0

    @property
    def case(self) -> str:
        """The name of its case."""
        return f"{self.place} {self.name}"


@dataclass(frozen=True)
class Wants:
    """All that the power of one build is reckoned from. ``cap``: share of full brightness."""

    parts: tuple[Chosen, ...] = ()
    wires: tuple[Wired, ...] = ()
    slots: tuple[Shown, ...] = ()
    cap: float = 1.0
    is_cap_set: bool = False
    least_idle_days: float = 21.0

    def of(self, *kinds: str) -> list[Chosen]:
        """The parts of some kinds, in the order of the list."""
        return [part for part in self.parts if part.kind in kinds]

    def first(self, kind: str) -> Chosen | None:
        """The first part of a kind."""
        return next(iter(self.of(kind)), None)


@dataclass(frozen=True)
class Lack:
    """What is missing to reckon with. ``blocks``: without it there is no answer at all."""

    code: str
    about: str = ""
    blocks: bool = False
    stores: int | None = None


@dataclass(frozen=True)
class Strip:
    """The pixels of a blade."""

    name: str
    pixels: Given
    channel: Given
    typical: Given
    quiescent: Given

    @property
    def is_guess(self) -> bool:
        """Whether its worst current rests on a guess."""
        return self.pixels.is_guess or self.channel.is_guess or self.quiescent.is_guess

    def worst_a(self, colour: str, brightness: float) -> float:
        """At the current a channel takes at most, as wires are chosen by."""
        return self._current(colour, brightness, self.channel)

    def typical_a(self, colour: str, brightness: float) -> float:
        """At the typical current of a channel, as runtime is reckoned by."""
        return self._current(colour, brightness, self.typical)

    def _current(self, colour: str, brightness: float, channel: Given) -> float:
        return pixels.strip_current_a(
            int(self.pixels.value), colour, channel.value, self.quiescent.value, brightness
        )

    @property
    def dark_a(self) -> float:
        """All pixels dark, but powered."""
        return self.pixels.value * self.quiescent.value / 1000

    def load(self, slot: Shown, cap: float) -> Load:
        """What it takes in a slot at the build's cap. Asleep it is switched off by the board."""
        worst = self.worst_a(slot.colour, cap * slot.worst)
        return Load(self.name, worst, min(worst, self.typical_a(slot.colour, cap * slot.typical)))


@dataclass(frozen=True)
class Drawn:
    """A load that is the same in every slot, and what it follows from.

    ``how`` is the code of its formula; ``feeds`` what a wire to it is said to carry.
    """

    load: Load
    feeds: str
    how: str
    inputs: tuple[Given, ...] = ()

    @property
    def is_guess(self) -> bool:
        """Whether it rests on a guess."""
        return any(given.is_guess for given in self.inputs)


@dataclass(frozen=True)
class Resisted:
    """An LED or accent with its resistor; ``why_not`` where the cell cannot light it."""

    name: str
    quantity: int
    supply_v: float
    full_v: float
    forward: Given
    current: Given
    resistor: Resistor | None = None
    why_not: str = ""

    @property
    def worst_a(self) -> float:
        """What one takes at most: its stated current, or more at a full cell."""
        stated = self.current.value / 1000
        full = self.resistor.full_current_a if self.resistor else None
        return max(stated, full or 0.0)
