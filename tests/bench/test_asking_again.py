"""Asking again from the sheet."""

from datetime import datetime

import pytest
from django.test import Client

from builds.progress.models import Build, Hold
from shop.models import User
from tests.makers import put_on_hold

pytestmark = pytest.mark.django_db


@pytest.fixture
def held(build: Build, owner: User, now: datetime) -> Hold:
    found = put_on_hold(build, owner, now)
    assert isinstance(found, Hold)
    return found


def asked_url(held: Hold) -> str:
    return f"/build/{held.build.number}/hold/{held.pk}/asked/"


def test_tap_notes_it_and_names_the_next_day(bench_client: Client, held: Hold) -> None:
    answer = bench_client.post(asked_url(held), {"seen": "2026-11-30"}, follow=True)
    held.refresh_from_db()
    assert held.asked == 1
    assert "The next day to ask is" in answer.content.decode()
    assert "asked once" in answer.content.decode()


def test_page_kept_open_too_long_asks_nothing(bench_client: Client, held: Hold) -> None:
    bench_client.post(asked_url(held), {"seen": "2026-11-20"})
    bench_client.post(asked_url(held), {"seen": "nonsense"})
    held.refresh_from_db()
    assert held.asked == 0


def test_hold_of_another_build_is_not_found(bench_client: Client, held: Hold) -> None:
    assert bench_client.post(f"/build/9999/hold/{held.pk}/asked/").status_code == 404


def test_stranger_cannot_ask(stranger: Client, held: Hold) -> None:
    stranger.post(asked_url(held), {"seen": "2026-11-30"})
    held.refresh_from_db()
    assert held.asked == 0
