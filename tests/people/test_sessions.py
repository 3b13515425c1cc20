"""Sessions: whose they are, how they are listed, and how they end."""

import os
import subprocess
import sys
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop import clock
from shop.history.models import Entry
from shop.models import Session, User
from shop.people import actions, sessions
from shop.people.models import Role
from shop.people.queries import sessions_of

PHRASE = "a long enough phrase"
AGENT = "Brow/5.0 (Sys x86_64; rv:128.0) Core/128.0"
DOORS = "/my-sign-in/"


def signed_in(user: User, agent: str = AGENT) -> Client:
    client = Client(headers={"user-agent": agent})
    client.post(reverse("people_sign_in"), {"email": user.email, "password": PHRASE})
    return client


def row(client: Client) -> Session:
    return Session.objects.get(session_key=client.session.session_key)


def is_in(client: Client) -> bool:
    return client.get(DOORS).status_code == 200


def test_session_knows_whose_it_is(owner: User) -> None:
    kept = row(signed_in(owner))
    assert (kept.person, kept.agent, kept.by_pin) == (owner, AGENT, False)
    assert kept.since == kept.seen


def test_key_of_a_session_stands_on_no_page(owner: User) -> None:
    here, there = signed_in(owner), signed_in(owner)
    page = here.get(DOORS).text
    for client in (here, there):
        assert str(client.session.session_key) not in page
    assert row(there).mark in page


def test_list_names_devices_and_marks_this_one(owner: User, bench_hand: User) -> None:
    signed_in(owner, "asker/8.5.0")
    signed_in(bench_hand, "theirs/1.0")
    page = signed_in(owner).get(DOORS).text
    assert "Sys x86_64" in page
    assert page.count("computer or tablet") == 3
    assert "theirs" not in page
    assert page.count("this device") == 1


def test_one_of_them_is_ended(owner: User) -> None:
    here, there = signed_in(owner), signed_in(owner)
    address = reverse("people_end_session", args=[row(there).mark])
    assert here.post(address).status_code == 303
    assert not is_in(there)
    assert is_in(here)
    assert Entry.objects.get(verb="session_ended").actor == owner
    assert "had ended already" in here.post(address, follow=True).text


def test_all_others_are_ended_at_once(owner: User) -> None:
    here, *others = (signed_in(owner) for _ in range(3))
    here.post(reverse("people_end_others"))
    assert [is_in(client) for client in (here, *others)] == [True, False, False]


def test_nobody_ends_the_session_of_another(owner: User, bench_hand: User) -> None:
    mine, theirs = signed_in(bench_hand), signed_in(owner)
    mine.post(reverse("people_end_session", args=[row(theirs).mark]))
    mine.post(reverse("people_end_others"))
    assert is_in(theirs)


def test_owner_sees_and_ends_those_of_others(owner: User, bench_hand: User) -> None:
    mine, theirs = signed_in(owner), signed_in(bench_hand)
    page = mine.get(reverse("desk_person", args=[bench_hand.pk])).text
    assert row(theirs).mark in page
    mine.post(reverse("desk_person_end_session", args=[bench_hand.pk, row(theirs).mark]))
    assert not is_in(theirs)


def test_owner_signs_somebody_out_everywhere(owner: User, bench_hand: User) -> None:
    mine, *theirs = signed_in(owner), signed_in(bench_hand), signed_in(bench_hand)
    mine.post(reverse("desk_person_end_sessions", args=[bench_hand.pk]))
    assert [is_in(client) for client in (mine, *theirs)] == [True, False, False]


def test_owner_does_not_sign_out_here_by_mistake(owner: User) -> None:
    mine, other = signed_in(owner), signed_in(owner)
    mine.post(reverse("desk_person_end_sessions", args=[owner.pk]))
    assert [is_in(client) for client in (mine, other)] == [True, False]


@pytest.mark.parametrize(
    "change",
    [{"role": Role.OWNER}, {"is_active": False}, {"email": "jory@elsewhere.example"}],
)
def test_another_role_address_or_leaving_ends_them(
    owner: User, bench_hand: User, change: dict[str, object]
) -> None:
    theirs = signed_in(bench_hand)
    as_it_was: dict[str, object] = {
        "name": "Jory",
        "email": bench_hand.email,
        "role": Role.BENCH,
        "is_active": True,
    }
    as_it_was["at_bench"] = True
    actions.change_staff(bench_hand.pk, **(as_it_was | change), by=owner, now=clock.now())
    assert not is_in(theirs)
    assert not Session.objects.filter(person=bench_hand).exists()


def test_another_name_ends_none(owner: User, bench_hand: User) -> None:
    theirs = signed_in(bench_hand)
    fields = {"email": bench_hand.email, "role": Role.BENCH, "is_active": True, "at_bench": True}
    actions.change_staff(bench_hand.pk, name="Jo", **fields, by=owner, now=clock.now())
    assert is_in(theirs)


def test_new_password_leaves_none_in_the_list(owner: User) -> None:
    here, there = signed_in(owner), signed_in(owner)
    fields = {"present": PHRASE, "password": "seven brass screws", "again": "seven brass screws"}
    here.post("/my-password/", fields)
    assert [is_in(client) for client in (here, there)] == [True, False]
    assert list(Session.objects.filter(person=owner)) == [row(here)]


def test_sign_in_on_a_shared_tablet_is_marked(owner: User, bench_hand: User) -> None:
    tablet = signed_in(bench_hand)
    actions.set_pin(owner, "4071", by=owner, now=clock.now())
    tablet.post("/who/", {"person": owner.pk, "pin": "4071"})
    kept = row(tablet)
    assert (kept.person, kept.by_pin, kept.agent) == (owner, True, AGENT)
    assert not Session.objects.filter(person=bench_hand).exists()
    assert "by PIN" in tablet.get(DOORS).text


def test_use_is_noted_coarsely(owner: User, monkeypatch: pytest.MonkeyPatch) -> None:
    client, begun = signed_in(owner), clock.now()
    before = row(client).seen
    assert is_in(client)
    assert row(client).seen == before
    monkeypatch.setattr(clock, "now", lambda: begun + timedelta(minutes=11))
    assert is_in(client)
    assert row(client).seen == begun + timedelta(minutes=11)


def test_session_ends_for_good_however_often_it_is_used(
    owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    client, begun = signed_in(owner), clock.now()
    for days in (89, 91):
        monkeypatch.setattr(clock, "now", lambda days=days: begun + timedelta(days=days))
        assert is_in(client) == (days < sessions.LONGEST_SESSION.days)


@pytest.mark.parametrize(
    ("ago", "words"),
    [
        (timedelta(minutes=59), "within the hour"),
        (timedelta(hours=3), "today"),
        (timedelta(hours=20), "yesterday"),
        (timedelta(days=6), "6 days ago"),
    ],
)
def test_when_it_was_used_is_said_roughly(
    owner: User, ago: timedelta, words: str, settings: Settings
) -> None:
    signed_in(owner)
    now = clock.now().replace(hour=12, minute=0)
    Session.objects.update(seen=now - ago, expire_date=now + timedelta(days=1))
    assert [each.seen for each in sessions_of(owner, "", now)] == [words]


def test_session_that_ran_out_is_not_listed(owner: User) -> None:
    signed_in(owner)
    later = clock.now() + timedelta(days=15)
    assert sessions_of(owner, "", later) == []


def test_stranger_has_a_session_of_nobody(stranger: Client) -> None:
    stranger.post("/forgot/", {"email": "nobody@larkhill.example"})
    assert {each.person for each in Session.objects.all()} <= {None}


def test_old_session_opens_nothing_once_it_was_ended(owner: User) -> None:
    client = signed_in(owner)
    Session.objects.all().delete()
    assert client.get("/bench/").url.startswith("/sign-in/")


def test_ending_sessions_wants_the_password_anew_and_leads_back(
    owner: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    here, there, begun = signed_in(owner), signed_in(owner), clock.now()
    monkeypatch.setattr(clock, "now", lambda: begun + timedelta(minutes=16))
    referer = {"referer": f"http://testserver{DOORS}"}
    answer = here.post(reverse("people_end_others"), headers=referer)
    assert answer.url == "/confirm/?next=%2Fmy-sign-in%2F"
    assert is_in(there)


def test_cookies_are_bound_to_the_host_under_https() -> None:
    env = {**os.environ, "HTTPS": "1", "DJANGO_SETTINGS_MODULE": "tests.settings"}
    names = "s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, d.COOKIE, s.SESSION_COOKIE_SECURE"
    begin = "import django; django.setup(); from django.conf import settings as s"
    code = f"{begin}; from shop.people import devices as d; print({names})"
    command = [sys.executable, "-c", code]
    told = subprocess.run(command, env=env, capture_output=True, text=True, check=False)
    assert told.stdout.split() == [
        "__Host-sessionid", "__Host-csrftoken", "__Host-hiltyard_device", "True"
    ], told.stderr  # fmt: skip
