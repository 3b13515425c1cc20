"""Writers of one process wait for one another here, in turn, and not inside SQLite.

SQLite lets one transaction write at a time; whoever finds it taken sleeps and looks again, and
somebody else may have taken it meanwhile: of eight people who wrote without a pause one waited
eleven seconds, half of what ends in "database is locked". A lock of the process wakes the next
one at once. Other processes (the worker) are waited for in SQLite's own way, as ever.
"""

import os
import threading
from collections import defaultdict
from typing import Any

from django.db import OperationalError
from django.db.backends.sqlite3 import base

_turns: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)
# A child has the locks as they were, and nobody in it who would let them go.
os.register_at_fork(after_in_child=_turns.clear)


class DatabaseWrapper(base.DatabaseWrapper):
    """A connection that begins a transaction when it is its turn, and passes it on at its end."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._turn: threading.Lock | None = None

    def set_autocommit(
        self, autocommit: bool, force_begin_transaction_with_broken_autocommit: bool = False
    ) -> None:
        """As Django's own, which begins every transaction of `atomic` by this."""
        begins = force_begin_transaction_with_broken_autocommit and not autocommit
        if begins:
            self._take_turn()
        try:
            super().set_autocommit(autocommit, force_begin_transaction_with_broken_autocommit)
        except BaseException:
            if begins:
                self._pass_on()
            raise

    def commit(self) -> None:
        """As Django's own; where it fails, a rollback follows."""
        super().commit()
        self._pass_on()

    def rollback(self) -> None:
        """As Django's own."""
        try:
            super().rollback()
        finally:
            self._pass_on()

    def close(self) -> None:
        """As Django's own."""
        try:
            super().close()
        finally:
            self._pass_on()

    def _take_turn(self) -> None:
        if self._turn or self.is_in_memory_db():
            return
        turn = _turns[str(self.settings_dict["NAME"])]
        # As long as SQLite would wait, and in its words.
        wait_s = self.settings_dict["OPTIONS"].get("timeout", 5)
        if not turn.acquire(timeout=wait_s):
            raise OperationalError("database is locked")
        self._turn = turn

    def _pass_on(self) -> None:
        turn, self._turn = self._turn, None
        if turn:
            turn.release()
