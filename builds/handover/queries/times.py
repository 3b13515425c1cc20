"""Moments of a film as they are shown and typed. Pure."""

import re

_TYPED = re.compile(
    r"(?:(\d{1,2}):)?(\d{1,4}):([0-5]?\d)(?:[.,](\d{1,3}))?|(\d{1,6})(?:[.,](\d{1,3}))?", re.ASCII
)


def clock(ms: int) -> str:
    """1:05, with hours only where there are any, and a fraction only where it is not whole."""
    seconds, rest = divmod(ms, 1000)
    fraction = f".{rest:03d}".rstrip("0") if rest else ""
    return f"{length(seconds)}{fraction}"


def length(seconds: float) -> str:
    """How long something is, in whole seconds: 3:07, 1:02:00."""
    minutes, second = divmod(round(seconds), 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02d}:{second:02d}" if hours else f"{minute}:{second:02d}"


def typed_ms(text: str) -> int:
    """A moment as somebody types it: 1:05, 65, 1:02:03.5.

    :raises ValueError: it is none.
    """
    found = _TYPED.fullmatch(text.strip())
    if found is None:
        raise ValueError(text)
    hour, minute, second, part, alone, of_alone = found.groups()
    whole = int(alone) if alone else int(hour or 0) * 3600 + int(minute) * 60 + int(second)
    return whole * 1000 + int((part or of_alone or "").ljust(3, "0"))
