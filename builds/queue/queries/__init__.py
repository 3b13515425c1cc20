"""Reads promises, the days that they come to, and the forecast of the line."""

from builds.queue.queries.dues import Due, dues, promises
from builds.queue.queries.line import in_line, line
from builds.queue.queries.outlooks import (
    is_in_danger,
    newest,
    odds_now,
    odds_of,
    odds_of_new,
    outlooks,
    speaks,
)

__all__ = [
    "Due", "dues", "in_line", "is_in_danger", "line", "newest", "odds_now", "odds_of",
    "odds_of_new", "outlooks", "promises", "speaks",
]  # fmt: skip
