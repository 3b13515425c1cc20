"""Log lines without the addresses that open something: private links, links for passwords."""

import logging
import re

# A private link's token wherever it stands, whole or mistyped; and all that follows these paths.
_TOKEN = re.compile(r"\b[a-z2-7]{16}-[a-z2-7]{8,}", re.IGNORECASE)
_PATH = re.compile(
    r"((?:your/(?:order|hilt|calendar)|new-password)(?:/|%2F))[^\s\"'?<>]+", re.IGNORECASE
)
HIDDEN = "[hidden]"


def without_tokens(line: str) -> str:
    """The line with what opens a private page taken out."""
    return _TOKEN.sub(HIDDEN, _PATH.sub(rf"\1{HIDDEN}", line))


class DiscreetFormatter(logging.Formatter):
    """Formats a record, its traceback included, and then takes the tokens out."""

    def format(self, record: logging.LogRecord) -> str:
        return without_tokens(super().format(record))
