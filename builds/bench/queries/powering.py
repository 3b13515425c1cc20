"""Slots and power of a build in short, for its sheet."""

from dataclasses import dataclass

from builds.fitting.queries.findings import findings_of
from builds.fitting.queries.power_page import Answer, answer
from builds.progress.models import Build
from builds.sounds.models import Slot
from builds.sounds.queries import caps_of, slots_of
from builds.sounds.words import colour_word
from shop.house.models import House


@dataclass(frozen=True)
class Powering:
    """The card's slots with their colours in words, the cap, and the one line on power."""

    slots: tuple[tuple[Slot, str], ...]
    cap: int | None
    answer: Answer | None


def powering_of(build: Build, shop: House) -> Powering:
    """What the sheet shows; no answer on power where nothing is chosen yet."""
    slots = slots_of([build.pk]).get(build.pk, [])
    found = findings_of([build], shop)[build.pk]
    return Powering(
        tuple((slot, colour_word(slot.colour)) for slot in slots),
        caps_of([build.pk]).get(build.pk),
        answer(found) if found.judged.wants.parts else None,
    )
