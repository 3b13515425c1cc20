"""In which language a reader is spoken to, and how this shop writes days and hours.

One door for both, so that no page is half in one and half in another: ``speaking`` opens it for as
long as a request, a task, a message or a paper takes, and puts back what stood before.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache

from django.conf import settings
from django.utils import translation

# What a day is called, by the name of the form: day first, as English writes it.
_DAY_FIRST = {
    "short": "D j M",
    "long": "l j F",
    "full": "j F Y",
    "brief": "j M Y",
    "in year": "j F",
    "short in year": "j M",
    "long full": "l j F Y",
    "short full": "D j M Y",
}
_MONTH_FIRST = {
    "short": "D, M j",
    "long": "l, F j",
    "full": "F j, Y",
    "brief": "M j, Y",
    "in year": "F j",
    "short in year": "M j",
    "long full": "l, F j, Y",
    "short full": "D, M j, Y",
}


def _in_figures(day: str, with_year: str) -> dict[str, str]:
    return {
        "short": f"D {day}",
        "long": f"l {day}",
        "full": with_year,
        "brief": with_year,
        "in year": day,
        "short in year": day,
        "long full": f"l {with_year}",
        "short full": f"D {with_year}",
    }


_DAYS = {
    "day": _DAY_FIRST,
    "month": _MONTH_FIRST,
    "us": _in_figures("m/d", "m/d/Y"),
    # With the year throughout: a day may end a sentence, whose full stop would be its second.
    "dots": _in_figures("d.m.y", "d.m.Y"),
    "iso": _in_figures("Y-m-d", "Y-m-d"),
}
_CLOCKS = {"24": "H:i", "12": "g:i A"}
_PLAIN = {
    "weekday": "l",
    "short weekday": "D",
    "day of month": "j",
    "month": "M",
    "month and year": "F Y",
    "year": "Y",
    "machine day": "Y-m-d",
    "machine moment": "c",
}
# A day with its hour: the form of the day that it is made from.
_MOMENTS = {
    "short moment": "short",
    "long moment": "long",
    "full moment": "full",
    "brief moment": "brief",
}


@dataclass(frozen=True)
class Manner:
    """How days and hours are written: the forms by name, as Django's patterns."""

    order: str
    clock: str
    patterns: Mapping[str, str]


@lru_cache(maxsize=64)
def manner(language: str, order: str = "", clock: str = "") -> Manner:
    """How it is written in a language, by the order and the clock that a shop chose."""
    days = _DAYS[order or "day"]
    if language.startswith("de") and days is _DAY_FIRST:
        days = {name: _as_german_writes(pattern) for name, pattern in days.items()}
    hour = _CLOCKS[clock or "24"]
    moments = {name: f"{days[day]}, {hour}" for name, day in _MOMENTS.items()}
    seconds = hour.replace(":i", ":i:s")
    of_weekday = {"weekday moment": f"D {hour}", "clock": hour, "clock with seconds": seconds}
    return Manner(order, clock, {**_PLAIN, **days, **moments, **of_weekday})


def _as_german_writes(pattern: str) -> str:
    # N: the month in short with its full stop.
    days = pattern.replace("D ", "D, ").replace("l ", "l, ")
    return days.replace("j ", "j. ").replace("M", "N")


_now: ContextVar[Manner | None] = ContextVar("manner", default=None)


def patterns() -> Mapping[str, str]:
    """The forms of days and hours that hold now."""
    return (_now.get() or manner(settings.LANGUAGE_CODE)).patterns


@contextmanager
def speaking(language: str, order: str | None = None, clock: str | None = None) -> Iterator[None]:
    """Speak a language in here, and write days and hours as it and the shop do.

    :param language: one of settings.LANGUAGES; empty: the one that is spoken now.
    :param order: of a day, empty as the language has it; None as it stands.
    """
    before = _now.get()
    spoken = language or translation.get_language() or settings.LANGUAGE_CODE
    kept = (before.order, before.clock) if before else ("", "")
    order = kept[0] if order is None else order
    clock = kept[1] if clock is None else clock
    token = _now.set(manner(spoken, order, clock))
    try:
        with translation.override(spoken):
            yield
    finally:
        _now.reset(token)
