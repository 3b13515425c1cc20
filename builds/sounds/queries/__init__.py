"""Reads slots, sound sets and cards."""

from builds.sounds.queries.slots import (
    FULL,
    LIGHT,
    MOST,
    Share,
    caps_of,
    free_place,
    like_builds,
    slots_of,
)

__all__ = [
    "FULL", "LIGHT", "MOST", "Share", "caps_of", "free_place", "like_builds", "slots_of",
]  # fmt: skip
