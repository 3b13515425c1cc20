"""Which back-ups are kept: the newest of each of seven days, four weeks and twelve months.

Days, weeks and months that have one are counted, not those of the calendar: a shop that stood
still for a year keeps what it has. Knows no table and no disk.
"""

import re
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

DAYS, WEEKS, MONTHS = 7, 4, 12
_NAME = re.compile(r"hiltyard-(\d{8}-\d{6})(?:-\d+)?(\.age)?\.tar")
_FORM = "%Y%m%d-%H%M%S"


def name_for(made: datetime, is_locked: bool) -> str:
    """What a back-up is called, by the shop's own clock."""
    return f"hiltyard-{made:{_FORM}}{'.age' if is_locked else ''}.tar"


def made_of(name: str) -> datetime | None:
    """When a back-up was made, by its name; None for any other file."""
    found = _NAME.fullmatch(name)
    try:
        return datetime.strptime(found[1], _FORM) if found else None
    except ValueError:
        return None


def to_keep(names: Iterable[str], until: datetime) -> set[str]:
    """Those of some back-ups that the rule keeps.

    :param until: what is dated later, by a clock that was ahead, is kept and counts for nothing:
        it must not take the place of what is made now.
    """
    all_of_them = {name: made for name in names if (made := made_of(name))}
    dated = {name: made for name, made in all_of_them.items() if made <= until}
    newest_first = sorted(dated, key=lambda name: (dated[name], name), reverse=True)
    rules: list[tuple[int, Callable[[datetime], Any]]] = [
        (DAYS, lambda made: made.date()),
        (WEEKS, lambda made: made.isocalendar()[:2]),
        (MONTHS, lambda made: (made.year, made.month)),
    ]
    kept = set(all_of_them) - set(dated)
    for count, period in rules:
        seen: dict[Any, str] = {}
        for name in newest_first:
            seen.setdefault(period(dated[name]), name)
        kept.update(list(seen.values())[:count])
    return kept
