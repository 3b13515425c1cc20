"""What a person reads while the database or the disk fails: plain words, and never a bare 500."""

import errno
from collections.abc import Callable, Iterator

import pytest
from django.db import IntegrityError, InterfaceError, OperationalError, connection
from django.test import Client
from pytest_django import Settings

from shop.house.models import House
from shop.web import trouble
from shop.web.trouble import AWAY, BUSY, NO_ROOM, trouble_of


def _caused(error: Exception, state: str | None) -> Exception:
    cause = type("Said", (Exception,), {"__module__": "psycopg.errors", "sqlstate": state})()
    error.__cause__ = cause
    return error


@pytest.mark.parametrize(
    ("error", "found"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), NO_ROOM),
        (OSError(errno.EDQUOT, "Disk quota exceeded"), NO_ROOM),
        (OSError(errno.EACCES, "Permission denied"), None),
        (OperationalError("database or disk is full"), NO_ROOM),
        (_caused(OperationalError("could not extend file"), "53100"), NO_ROOM),
        (OperationalError("database is locked"), BUSY),
        (_caused(OperationalError("deadlock detected"), "40P01"), BUSY),
        (OperationalError("unable to open database file"), AWAY),
        (OperationalError("disk I/O error"), AWAY),
        (_caused(OperationalError("server closed the connection"), None), AWAY),
        (_caused(OperationalError("terminating connection"), "57P01"), AWAY),
        (InterfaceError("connection already closed"), AWAY),
        (OperationalError("no such table: shop_house"), None),
        (_caused(OperationalError("out of shared memory"), "53200"), None),
        (IntegrityError("UNIQUE constraint failed"), None),
        (ValueError("of ours"), None),
        (None, None),
    ],
)
def test_what_is_wrong_is_told_apart(
    error: Exception | None, found: trouble.Trouble | None
) -> None:
    assert trouble_of(error) is found


def test_it_is_found_beneath_another_error() -> None:
    error = RuntimeError("while a photo came")
    error.__cause__ = OSError(errno.ENOSPC, "No space left on device")
    assert trouble_of(error) is NO_ROOM


def test_io_error_on_a_disk_without_room_is_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    usage = type("Usage", (), {"free": 4096})
    monkeypatch.setattr(trouble.shutil, "disk_usage", lambda _: usage)
    assert trouble_of(OperationalError("disk I/O error")) is NO_ROOM


@pytest.fixture
def failing(house: House) -> Iterator[Callable[[Exception], None]]:
    """Lets every statement of the database fail from now on."""

    def begin(error: Exception) -> None:
        def fail(*asked: object) -> None:
            raise error

        connection.execute_wrappers.append(fail)

    yield begin
    connection.execute_wrappers.clear()


GONE = "server closed the connection unexpectedly"


def test_page_says_that_the_database_is_away_and_comes_back_by_itself(
    failing: Callable[[Exception], None],
) -> None:
    failing(_caused(OperationalError(GONE), None))
    answer = Client(raise_request_exception=False).get("/")
    assert answer.status_code == 503
    assert "The database does not answer" in answer.text
    assert (answer.headers["Refresh"], answer.headers["Retry-After"]) == ("5", "5")
    assert answer.headers["Cache-Control"] == "no-store"


def test_deed_is_told_to_look_before_it_is_sent_again_and_is_not_repeated(
    failing: Callable[[Exception], None],
) -> None:
    failing(_caused(OperationalError(GONE), None))
    answer = Client(raise_request_exception=False).post(
        "/sign-in/", {"email": "a", "password": "b"}
    )
    assert answer.status_code == 503
    assert "may not have been kept" in answer.text
    assert "Refresh" not in answer.headers


def test_photo_is_answered_in_its_own_way(failing: Callable[[Exception], None]) -> None:
    failing(OperationalError("database or disk is full"))
    answer = Client(raise_request_exception=False).post("/sign-in/", headers={"X-Photo": "one"})
    assert answer.status_code == 507
    assert answer.json()["ok"] is False
    assert answer.json()["why"].startswith("The disk of the shop is full. ")


def test_part_of_a_page_is_told_in_one_sentence(failing: Callable[[Exception], None]) -> None:
    failing(OperationalError("database is locked"))
    answer = Client(raise_request_exception=False).get("/", headers={"HX-Request": "true"})
    assert answer.status_code == 503
    assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
    assert answer.text.startswith("The database is busy. ")


def test_what_is_our_own_fault_stays_a_500(failing: Callable[[Exception], None]) -> None:
    failing(ValueError("of ours"))
    answer = Client(raise_request_exception=False).get("/")
    assert answer.status_code == 500
    assert "Something broke on our side" in answer.text


def test_session_that_finds_no_room_costs_no_page(
    owner_client: Client, house: House, settings: Settings
) -> None:
    session = owner_client.session
    session["seen_at"] = 1
    session.save()

    def fail(execute: Callable[..., object], sql: str, *rest: object) -> object:
        if sql.startswith("UPDATE") and "session" in sql:
            raise OperationalError("database or disk is full")
        return execute(sql, *rest)

    with connection.execute_wrapper(fail):
        assert owner_client.get("/my-password/").status_code == 200


def test_session_that_finds_no_database_is_told_as_that(owner_client: Client, house: House) -> None:
    session = owner_client.session
    session["seen_at"] = 1
    session.save()

    def fail(execute: Callable[..., object], sql: str, *rest: object) -> object:
        if sql.startswith("UPDATE") and "session" in sql:
            raise _caused(OperationalError(GONE), None)
        return execute(sql, *rest)

    owner_client.raise_request_exception = False
    with connection.execute_wrapper(fail):
        assert owner_client.get("/my-password/").status_code == 503
