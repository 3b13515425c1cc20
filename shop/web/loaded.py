"""What a process that answers has loaded once and keeps for good."""

import gc

from django.urls import get_resolver


def keep_loaded() -> None:
    """Load every page now, and let the collector leave alone what will stay.

    It walked through all code again each time that many rows had been read, and one look in
    twenty waited a tenth of a second for that. A page of many rows makes some ten thousand
    objects and lets go of them by itself: the collector need not come a hundred times meanwhile.
    """
    get_resolver().url_patterns  # noqa: B018 – reading it loads them
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 50)
