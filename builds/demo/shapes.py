"""The shapes of the demo's hilts: sections with length, diameter, metal and cut."""

from dataclasses import dataclass

STEEL, BRASS, BLACK, COPPER, BRONZE = "#A9B4BD", "#C69A4B", "#3C454E", "#BC7650", "#8D7048"


@dataclass(frozen=True)
class Section:
    """A length of the hilt; it may taper from one diameter to another. Millimetres."""

    name: str
    length: float
    start: float
    end: float
    metal: str
    cut: str = ""  # ribs, rings, knurl, flutes, wrap, slots


@dataclass(frozen=True)
class Shape:
    """A hilt from emitter to pommel, its bore there, and how many switches its body bears."""

    sections: tuple[Section, ...]
    bore: float
    switches: int = 2

    @property
    def length(self) -> float:
        """All sections together."""
        return sum(section.length for section in self.sections)


def _shape(bore: float, *rows: tuple[object, ...], switches: int = 2) -> Shape:
    return Shape(tuple(Section(*row) for row in rows), bore, switches)  # type: ignore[arg-type]


SHAPES = {
    "Osier": _shape(24.9,
        ("emitter", 48, 36, 36, STEEL, "slots"), ("neck", 34, 29, 27, STEEL),
        ("body", 62, 35, 35, STEEL, "switches"), ("grip", 96, 33, 33, BLACK, "wrap"),
        ("pommel", 34, 36, 40, STEEL, "rings")),
    "Tallow Street": _shape(25.0,
        ("emitter", 42, 36, 40, COPPER, "slots"), ("neck", 30, 28, 28, STEEL, "rings"),
        ("body", 60, 35, 35, STEEL, "switches"), ("grip", 102, 33, 33, BLACK, "flutes"),
        ("pommel", 32, 34, 38, COPPER)),
    "Bell Rope": _shape(25.2,
        ("emitter", 40, 44, 34, BRASS), ("body", 70, 34, 34, STEEL, "switches"),
        ("grip", 110, 32, 32, BRONZE, "wrap"), ("pommel", 42, 34, 44, BRASS, "ribs")),
    "Weir House": _shape(25.4,
        ("emitter", 58, 38, 38, STEEL, "slots"), ("collar", 12, 43, 43, BRASS),
        ("body", 66, 36, 36, STEEL, "switches"), ("grip", 104, 34, 34, BLACK, "ribs"),
        ("pommel", 40, 38, 34, STEEL, "rings")),
    "Tallow Bridge": _shape(24.8,
        ("emitter", 44, 34, 38, STEEL), ("neck", 40, 26, 26, BRASS, "rings"),
        ("body", 64, 37, 37, STEEL, "switches"), ("grip", 92, 35, 33, STEEL, "knurl"),
        ("pommel", 36, 40, 40, BRASS, "ribs")),
    "Small Hours": _shape(26.0,
        ("emitter", 36, 40, 36, BLACK, "slots"), ("body", 78, 36, 36, BLACK, "switches"),
        ("grip", 100, 34, 34, BLACK, "flutes"), ("pommel", 30, 36, 30, STEEL),
        switches=1),
    "Greywater": _shape(24.9,
        ("emitter", 52, 37, 37, STEEL, "rings"), ("body", 58, 36, 36, STEEL, "switches"),
        ("grip", 118, 34, 34, BRONZE, "wrap"), ("pommel", 38, 36, 42, STEEL)),
    "Ninth Lantern": _shape(25.4,
        ("emitter", 66, 42, 42, BRASS, "slots"), ("neck", 30, 32, 26, BRASS),
        ("body", 60, 36, 36, STEEL, "switches"), ("grip", 98, 34, 34, STEEL, "ribs"),
        ("pommel", 32, 36, 38, BRASS, "rings")),
    "Harrow Gate": _shape(25.1,
        ("emitter", 46, 36, 40, STEEL), ("body", 74, 37, 37, BLACK, "switches"),
        ("grip", 94, 35, 35, STEEL, "flutes"), ("pommel", 44, 38, 32, STEEL, "knurl")),
    "Copperfen": _shape(25.4,
        ("emitter", 60, 39, 39, COPPER, "slots"), ("neck", 26, 30, 30, STEEL, "rings"),
        ("body", 56, 36, 36, COPPER, "switches"), ("grip", 108, 34, 34, BLACK, "ribs"),
        ("pommel", 34, 38, 42, COPPER), switches=1),
    "Long Quiet": _shape(24.6,
        ("emitter", 50, 34, 34, BLACK), ("body", 70, 35, 35, BLACK, "switches"),
        ("grip", 132, 33, 33, BLACK, "knurl"), ("pommel", 52, 35, 30, STEEL, "rings")),
    "Saltmarsh No. 3": _shape(25.0,
        ("emitter", 42, 46, 36, BRASS), ("collar", 14, 40, 40, STEEL, "rings"),
        ("body", 64, 36, 36, BRASS, "switches"), ("grip", 96, 34, 34, BRASS, "flutes"),
        ("pommel", 40, 36, 44, STEEL)),
    "Heron two-piece": _shape(25.4,
        ("emitter", 46, 37, 37, STEEL, "slots"), ("upper", 92, 33, 33, BLACK, "ribs"),
        ("coupling", 22, 39, 39, STEEL, "knurl"), ("body", 58, 36, 36, STEEL, "switches"),
        ("grip", 78, 34, 34, BLACK, "ribs"), ("pommel", 30, 38, 34, STEEL)),
    "Lych Mile": _shape(25.2,
        ("emitter", 54, 35, 35, STEEL, "rings"), ("body", 68, 36, 36, STEEL, "switches"),
        ("grip", 102, 34, 34, STEEL, "ribs"), ("pommel", 36, 36, 40, BLACK, "knurl"),
        switches=1),
    "Brindle": _shape(24.9,
        ("emitter", 48, 38, 34, BRONZE), ("neck", 28, 28, 28, STEEL),
        ("body", 62, 36, 36, STEEL, "switches"), ("grip", 100, 34, 34, BRONZE, "wrap"),
        ("pommel", 40, 40, 36, BRONZE, "ribs"), switches=1),
    "Kestrel first": _shape(25.4,
        ("emitter", 44, 40, 36, BRASS, "slots"), ("body", 60, 36, 36, STEEL, "switches"),
        ("grip", 88, 34, 34, BRASS, "ribs"), ("pommel", 30, 36, 40, STEEL)),
    "Kestrel second": _shape(25.4,
        ("emitter", 44, 40, 36, BRASS, "slots"), ("body", 60, 36, 36, STEEL, "switches"),
        ("grip", 88, 34, 34, BRASS, "ribs"), ("pommel", 30, 36, 40, BLACK)),
    "Not named yet": _shape(25.0,
        ("emitter", 50, 36, 40, STEEL, "rings"), ("body", 64, 35, 35, BRONZE, "switches"),
        ("grip", 96, 33, 33, STEEL, "knurl"), ("pommel", 34, 36, 36, BRONZE), switches=1),
    "Quarry Jack": _shape(26.2,
        ("emitter", 38, 42, 42, STEEL, "knurl"), ("body", 76, 38, 38, STEEL, "switches"),
        ("grip", 90, 36, 36, BLACK, "flutes"), ("pommel", 46, 42, 36, STEEL, "rings")),
}  # fmt: skip
