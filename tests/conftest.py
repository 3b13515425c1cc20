"""The cast and the things that every test may ask for. Fixtures never do the act under test."""

import os
from collections.abc import Generator, Iterator
from datetime import UTC, datetime
from typing import TypeVar

import pytest
from django.db import connection
from django.test import Client, TransactionTestCase
from playwright.sync_api import Browser, sync_playwright
from pytest_django import Settings

from shop.diary.models import Weekday
from shop.house.models import House
from shop.people.models import Role, User
from tests import smtp
from tests.servers import browser_program

BROWSER_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
NOW = datetime(2026, 11, 25, 10, 40, tzinfo=UTC)  # a Wednesday
Report = TypeVar("Report", pytest.TestReport, pytest.CollectReport)
_teardown = TransactionTestCase._fixture_teardown


def _flush_append_only(case: TransactionTestCase) -> None:
    # Emptying the test database deletes from append-only tables: that is maintenance.

    with connection.cursor() as cursor:
        cursor.execute("UPDATE shop_maintenance SET is_open = true")
    _teardown(case)
    with connection.cursor() as cursor:
        cursor.execute("UPDATE shop_maintenance SET is_open = false")


TransactionTestCase._fixture_teardown = _flush_append_only


def _not_in_silence(report: Report) -> Report:
    # `manage.py test` promises that nothing is left out in silence.
    if report.skipped and not hasattr(report, "wasxfail") and os.environ.get("NOTHING_SKIPPED"):
        report.outcome = "failed"
        report.longrepr = f"skipped, in a run that skips nothing: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    return _not_in_silence((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    return _not_in_silence((yield))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Beside SQLite, the second database is only shown to the tests that ask for one."""
    if not os.environ.get("ONLY_WITH_A_DATABASE"):
        return
    without = [item for item in items if not _asks_for_a_database(item)]
    config.hook.pytest_deselected(items=without)
    items[:] = [item for item in items if item not in set(without)]


def _asks_for_a_database(item: pytest.Item) -> bool:
    asked = set(getattr(item, "fixturenames", ()))
    marked = any(item.iter_markers("django_db")) or any(item.iter_markers("server"))
    return marked or bool(asked & {"db", "transactional_db", "live_server", "django_db_setup"})


@pytest.fixture(scope="module")
def browser_flags() -> list[str]:
    """What Chromium is started with; a module may add to it."""
    return [*BROWSER_FLAGS]


@pytest.fixture(scope="module")
def browser(browser_flags: list[str]) -> Iterator[Browser]:
    """One Chromium for the tests of a module; each of them opens its own contexts."""
    program = browser_program()
    if program is None:
        pytest.skip("needs Chromium: type `sudo apt install chromium`")
    # Playwright's loop runs in this thread, where Django would refuse the database.
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        chromium = playwright.chromium.launch(executable_path=program, args=browser_flags)
        yield chromium
        chromium.close()


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def house(db: None) -> House:
    for weekday in range(7):
        works = weekday < 5
        Weekday.objects.create(
            weekday=weekday,
            opens="09:00" if works else None,
            closes="17:30" if works else None,
            dispatches=weekday in (0, 4),
        )
    return House.objects.create(
        name="Larkhill Works",
        email="bench@larkhill.example",
        zone_name="Europe/London",
        public_url="https://larkhill.example",
        bench_url="http://192.0.2.10:8000",
        set_up_at=NOW,
    )


def _staff(email: str, name: str, role: str) -> User:
    user = User(email=email, name=name, role=role)
    user.set_password("a long enough phrase")
    user.save()
    return user


@pytest.fixture
def owner(house: House) -> User:
    return _staff("oda@larkhill.example", "Oda", Role.OWNER)


@pytest.fixture
def bench_hand(house: House) -> User:
    return _staff("jory@larkhill.example", "Jory", Role.BENCH)


@pytest.fixture
def owner_client(owner: User) -> Client:
    client = Client()
    client.force_login(owner)
    return client


@pytest.fixture
def proven_client(owner: User) -> Client:
    """An owner who has given the password a moment ago."""
    client = Client()
    typed = {"email": owner.email, "password": "a long enough phrase"}
    client.post("/sign-in/", typed)
    return client


@pytest.fixture
def bench_client(bench_hand: User) -> Client:
    client = Client()
    client.force_login(bench_hand)
    return client


@pytest.fixture
def stranger(house: House) -> Client:
    return Client()


@pytest.fixture
def smtp_server(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[smtp.Received]:
    """A real SMTP server to which the shop's mail goes: .host .port .url .messages."""
    with smtp.running() as server:
        settings.EMAIL_BACKEND = "shop.web.mailserver.Backend"  # the test runner's own keeps mail
        monkeypatch.setenv("EMAIL_URL", server.url)
        yield server
