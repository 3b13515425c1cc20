"""Log lines without the addresses that open something: private links, links for passwords.

As text for a terminal, or as JSON, one object a line, for a machine to read.
"""

import json
import logging
import re
from datetime import UTC, datetime
from typing import Any

from shop.web import traced

# A private link's token wherever it stands, whole or mistyped; and all that follows these paths.
_TOKEN = re.compile(r"[a-z2-7]{16}-[a-z2-7]{8,}", re.IGNORECASE)
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
        request_id = traced.current()
        end = f" [{request_id}]" if request_id else ""
        return without_tokens(super().format(record)) + end


class JsonFormatter(logging.Formatter):
    """The same as one JSON object, whose ``request`` finds all lines of one request."""

    def format(self, record: logging.LogRecord) -> str:
        told = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "said": record.getMessage(),
            "request": traced.current(),
            **getattr(record, "told", {}),
        }
        if record.exc_info:
            told["trace"] = self.formatException(record.exc_info)
        # Before it is JSON: there an escaped sign may stand right before a token and hide it.
        return json.dumps({name: _discreet(value) for name, value in told.items()})


def _discreet(value: Any) -> Any:
    return without_tokens(value) if isinstance(value, str) else value
