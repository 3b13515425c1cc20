"""Guesses which column is which field from the words of its heading; a person looks it over."""

import re
import unicodedata
from collections.abc import Sequence
from hashlib import sha256

from builds.importing.columns.fields import Field, fields

_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]|,\s*(mA|A|mAh|Ah|mV|V|mW|W|mm|cm|in|inch|g|kg)\s*$")
_UNITS = {
    "ma": "mA", "a": "A", "mah": "mAh", "ah": "Ah", "mv": "mV", "v": "V", "mw": "mW", "w": "W",
    "mm": "mm", "cm": "cm", "in": "in", "inch": "in", "inches": "in", "g": "g", "kg": "kg",
    "ohm": "ohm", "Ω": "ohm", "awg": "AWG",
}  # fmt: skip


def simple(heading: str) -> str:
    """A heading without case, accents, signs and the unit in its brackets."""
    bare = unicodedata.normalize("NFKD", _BRACKETS.sub(" ", heading)).casefold()
    bare = "".join(sign for sign in bare if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^\w']+|_", " ", bare).split())


def unit_in(heading: str) -> str:
    """The unit that a heading names, as in "Max current (mA)"; empty for none."""
    found = _BRACKETS.search(heading)
    return _UNITS.get((found[1] or found[2] or "").strip().casefold(), "") if found else ""


def guess(kind: str, headers: Sequence[str]) -> dict[str, int]:
    """Field → the column whose heading means it. No column is taken twice."""
    plain = [simple(heading) for heading in headers]
    found: dict[str, int] = {}
    # The field whose first words fit goes first: "price" is a price before it is a cost.
    wishes = sorted(
        (place, order, field.name, column)
        for order, field in enumerate(fields(kind).values())
        for place, word in enumerate(_meant(field))
        for column, heading in enumerate(plain)
        if heading and heading == simple(word)
    )
    taken: set[int] = set()
    for _place, _order, name, column in wishes:
        if name not in found and column not in taken:
            found[name] = column
            taken.add(column)
    return found


def _meant(field: Field) -> list[str]:
    return [str(field.label), *field.words, field.name.replace("_", " ")]


def header_key(kind: str, headers: Sequence[str]) -> str:
    """What tells sheets with the same headings, so that a mapping is found again."""
    said = "\n".join([kind, *(simple(heading) + unit_in(heading) for heading in headers)])
    return sha256(said.encode()).hexdigest()
