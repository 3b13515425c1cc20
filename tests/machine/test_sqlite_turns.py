"""Writers of one process on SQLite wait for one another in turn, and none is turned away."""

import threading
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.db import OperationalError
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.utils import ConnectionHandler

pytestmark = pytest.mark.django_db  # else no connection may be opened


@pytest.fixture
def handler(tmp_path: Path) -> ConnectionHandler:
    options = {"transaction_mode": "IMMEDIATE", "timeout": 20}
    told = {"ENGINE": "shop.sqlite", "NAME": str(tmp_path / "a.sqlite3"), "OPTIONS": options}
    handler = ConnectionHandler({"default": told})
    with handler["default"].cursor() as cursor:
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("CREATE TABLE deed (who TEXT)")
    return handler


@contextmanager
def transaction(connection: BaseDatabaseWrapper) -> Iterator[None]:
    connection.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
    try:
        yield
    except BaseException:
        connection.rollback()
        raise
    else:
        connection.commit()
    finally:
        connection.set_autocommit(True)


def write(handler: ConnectionHandler, who: str) -> None:
    """One deed in a transaction, by a thread whose connection waits for nobody inside SQLite."""
    with handler["default"].cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout=0")
    with transaction(handler["default"]), handler["default"].cursor() as cursor:
        cursor.execute("INSERT INTO deed VALUES (%s)", [who])
    handler["default"].close()


def begun(pool: ThreadPoolExecutor, handler: ConnectionHandler, who: str) -> "Future[None]":
    """A deed of another thread, which has begun and waits for its turn."""
    started = threading.Event()

    def deed() -> None:
        started.set()
        write(handler, who)

    future = pool.submit(deed)
    assert started.wait(10)
    return future


def written(handler: ConnectionHandler) -> list[str]:
    with handler["default"].cursor() as cursor:
        cursor.execute("SELECT who FROM deed ORDER BY who")
        return [row[0] for row in cursor.fetchall()]


def test_who_comes_while_another_writes_waits_and_is_done(handler: ConnectionHandler) -> None:
    with ThreadPoolExecutor(8) as pool:
        with transaction(handler["default"]):
            waiting = [begun(pool, handler, f"hand {nth}") for nth in range(8)]
            assert not any(deed.done() for deed in waiting)
        for deed in waiting:
            deed.result(timeout=20)  # "database is locked", had it not been its turn
    assert written(handler) == [f"hand {nth}" for nth in range(8)]


def test_turn_is_passed_on_by_whoever_fails(handler: ConnectionHandler) -> None:
    with pytest.raises(ZeroDivisionError), transaction(handler["default"]):
        raise ZeroDivisionError
    with ThreadPoolExecutor(1) as pool:
        pool.submit(write, handler, "Oda").result(timeout=20)
    assert written(handler) == ["Oda"]


def test_turn_is_passed_on_by_a_connection_that_is_closed(handler: ConnectionHandler) -> None:
    handler["default"].set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
    handler["default"].close()
    with ThreadPoolExecutor(1) as pool:
        pool.submit(write, handler, "Oda").result(timeout=20)
    assert written(handler) == ["Oda"]


def test_turn_that_could_not_begin_is_passed_on(handler: ConnectionHandler) -> None:
    other = ConnectionHandler(
        {"default": {**handler.settings["default"], "ENGINE": "django.db.backends.sqlite3"}}
    )  # as another process: it takes no turn of this one
    with ThreadPoolExecutor(1) as pool:
        with transaction(other["default"]), pytest.raises(OperationalError, match="locked"):
            pool.submit(write, handler, "Jory").result(timeout=20)
        pool.submit(write, handler, "Oda").result(timeout=20)
    other["default"].close()
    assert written(handler) == ["Oda"]
