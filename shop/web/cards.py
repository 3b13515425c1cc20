"""Tells the number of a payment card, so that none is ever kept: pure, by its check digit."""

import re

# 13 to 19 digits, as they are typed: together, or in groups with blanks or strokes between.
_DIGITS = re.compile(r"(?<!\d)\d(?:[ \u00a0.\-]?\d){12,18}(?!\d)")


def holds_card_number(text: str) -> bool:
    """Whether 13 to 19 digits stand in a text that pass the check of ISO/IEC 7812."""
    return any(_passes(re.sub(r"\D", "", found)) for found in _DIGITS.findall(text))


def _passes(digits: str) -> bool:
    """The check by doubling every second digit from the right (ISO/IEC 7812-1, annex B)."""
    doubled = (int(each) * (1 + place % 2) for place, each in enumerate(reversed(digits)))
    return sum(each // 10 + each % 10 for each in doubled) % 10 == 0 and digits.strip("0") != ""
