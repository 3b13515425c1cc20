"""Days on which nothing leaves any more, and later days that were kept but not told."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from builds.models import Build, Outlook
from builds.progress.states import Leaves, State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from shop.diary.models import Closure
from shop.models import User
from shop.post.actions import log_said
from shop.post.models import Occasion
from tests.bench.pages import words
from tests.bench.test_tell import opened
from tests.makers import make_build
from tests.queue.past import make_past
from tests.smtp import Received

pytestmark = pytest.mark.django_db
MONDAY, FRIDAY = date(2026, 12, 14), date(2026, 12, 18)


@pytest.fixture
def told(build: Build, owner: User, now: datetime) -> Build:
    """A build whose customer was told a Monday."""
    promise(build, MONDAY, reason="", by=owner, now=now)
    return build


def close(day: date) -> None:
    Closure.objects.create(first=day, last=day)


def test_promise_in_a_closure_wants_a_new_day_on_today(bench_client: Client, told: Build) -> None:
    assert "nothing leaves that day" not in words(bench_client.get("/"))
    close(MONDAY)
    page = bench_client.get("/")
    assert "told Mon 14 Dec, but nothing leaves that day" in words(page)
    assert f"/build/{told.number}/?day=2026-12-18#promise" in page.content.decode()


def test_what_is_collected_does_not_ask_for_a_dispatch_day(
    bench_client: Client, told: Build
) -> None:
    Build.objects.update(leaves_by=Leaves.COLLECTION)
    close(MONDAY)
    assert "nothing leaves that day" not in words(bench_client.get("/"))


def test_closures_name_the_promises_that_fall_into_them(owner_client: Client, owner: User) -> None:
    soon = timezone.localdate() + timedelta(days=14)
    day = soon + timedelta(days=-soon.weekday() % 7)
    told = make_build(owner, timezone.now(), State.INSTALL)
    promise(told, day, reason="", by=owner, now=timezone.now())
    typed = {"first": day, "last": day + timedelta(days=1), "reason": ""}
    shown = owner_client.post(reverse("desk_closures"), typed, follow=True)
    assert "1 promised day falls into it" in words(shown)
    assert f"{told} {told.hilt}" in words(shown)
    assert f"/build/{told.number}/#promise" in shown.content.decode()


def test_letter_of_a_delay_never_names_the_day_told_before(
    bench_client: Client, url: str, told: Build, smtp_server: Received
) -> None:
    body = opened(bench_client, url + "?occasion=late")["body"]
    assert "It now ships by Friday 18 December" in body
    assert "14 December" not in body
    close(MONDAY)
    assert opened(bench_client, url)["occasion"] == Occasion.LATE
    assert "Nothing leaves on the day that stands" in words(bench_client.get(url))


def test_letter_names_the_first_later_day_with_enough_odds(
    bench_client: Client, url: str, told: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    make_past(10, owner, now)
    reckon(now)
    far = 60 * 24 * 40  # minutes: likely only after weeks
    run = Outlook.objects.get(build=told)
    Outlook.objects.filter(build=told).update(moments=[far] * len(run.moments))
    body = opened(bench_client, url + "?occasion=late")["body"]
    assert "It now ships by Monday 4 January" in body or "It now ships by Friday 8 January" in body


def test_later_day_that_was_kept_is_told_with_its_reason(
    bench_client: Client, url: str, told: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    promise(told, FRIDAY, reason="The speaker came late.", by=owner, now=now)
    said = f"a new day is kept, Fri 18 Dec; {told.item.order.customer.called} was not told yet"
    assert said in words(bench_client.get("/"))
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.LATE
    assert "It now ships by Friday 18 December" in fields["body"]
    assert "The speaker came late." in fields["body"]
    assert bench_client.post(url, fields).status_code == 303
    assert "a new day is kept" not in words(bench_client.get("/"))
    assert opened(bench_client, url)["occasion"] == Occasion.STAGE


def test_earlier_day_and_one_told_by_telephone_want_no_letter(
    bench_client: Client, told: Build, owner: User, now: datetime
) -> None:
    promise(told, MONDAY - timedelta(days=3), reason="", by=owner, now=now)
    assert "a new day is kept" not in words(bench_client.get("/"))
    promise(told, FRIDAY, reason="", by=owner, now=now)
    assert "a new day is kept" in words(bench_client.get("/"))
    log_said(
        occasion=Occasion.LATE, about=told.about, customer=told.item.order.customer,
        body="It will be Friday.", made_by=owner, now=now,
    )  # fmt: skip
    assert "a new day is kept" not in words(bench_client.get("/"))
