"""Reads promises, the days that they come to, and the forecast of the queue."""

from builds.queue.queries.dues import Due, dues, promises

__all__ = ["Due", "dues", "promises"]
