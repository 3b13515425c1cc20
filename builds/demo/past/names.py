"""Invented names for whoever comes in a long past. None of them is anybody's."""

import random
from dataclasses import dataclass

_FIRST = (
    "Avrel", "Bettany", "Corvin", "Dalia", "Edrik", "Fenna", "Garret", "Hesper", "Ilse", "Jorun",
    "Kaspian", "Liora", "Maddox", "Nerys", "Orla", "Perrin", "Quilla", "Rowena", "Saffi", "Tobin",
    "Ulla", "Verity", "Wendel", "Xanthe", "Ysolde", "Zeb", "Ambrose", "Briony", "Cassia", "Dunstan",
)  # fmt: skip
_FRONT = (
    "Alder", "Birch", "Cobble", "Dun", "Elm", "Fair", "Grey", "Hollow", "Iron", "Kestrel", "Lark",
    "Marl", "Nether", "Osier", "Penny", "Quarry", "Rush", "Silver", "Thorn", "Under", "Vale",
    "Wether", "Yarrow", "Ash", "Bram", "Crane", "Drift", "Ember", "Flint", "Gale",
)  # fmt: skip
_BACK = (
    "acre", "bourne", "combe", "dale", "ey", "field", "garth", "ham", "ing", "low", "mere", "ness",
    "over", "pool", "ridge", "shaw", "thwaite", "ton", "wick", "worth",
)  # fmt: skip
_STREETS = (
    "Candle Street", "Mill Lade", "Tannery Road", "Kiln Brae", "Orchard Rise", "Glasshouse Yard",
    "Ropewalk Close", "Lower Fold", "Station Lane", "Weaver Row",
)  # fmt: skip
_HILTS = (
    "Lantern", "Wren", "Tide", "Hollow", "Beacon", "Harrier", "Willow", "Quarry", "Marsh", "Bell",
    "Ember", "Fallow", "Heron", "Sable", "Thistle", "Vesper", "Warden", "Lych", "Copper", "Drift",
)  # fmt: skip
_WHICH = (
    "First", "Second", "Ninth", "Long", "Small", "Quiet", "Late", "Early", "Grey", "Bright", "Low",
    "Far", "Old", "New", "Last", "Still",
)  # fmt: skip


@dataclass(frozen=True)
class Person:
    """Someone, where they live, and their telephone in the range kept free for drama."""

    called: str
    family: str
    house: str
    phone: str


def person(dice: random.Random) -> Person:
    """Someone nobody knows."""
    return Person(
        dice.choice(_FIRST),
        dice.choice(_FRONT) + dice.choice(_BACK),
        f"{dice.randint(1, 199)} {dice.choice(_STREETS)}",
        f"01632 960{dice.randint(0, 999):03d}",
    )


def hilt(dice: random.Random) -> str:
    """What somebody calls a hilt."""
    return f"{dice.choice(_WHICH)} {dice.choice(_HILTS)} {dice.randint(1, 999)}"
