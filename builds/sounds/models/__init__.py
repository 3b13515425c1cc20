"""Sound sets, what a board wishes of them, the slots of a card, the card itself."""

from builds.sounds.models.cards import CardCheck, CardKept, CardListing, CardProfile
from builds.sounds.models.sets import SoundFile, SoundSet
from builds.sounds.models.slots import Brightness, Look, Slot

__all__ = [
    "Brightness", "CardCheck", "CardKept", "CardListing", "CardProfile", "Look", "Slot",
    "SoundFile", "SoundSet",
]  # fmt: skip
