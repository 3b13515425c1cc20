"""The staff: joining, leaving, the last owner, and the mails by which passwords are set."""

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from builds.desk.actions.passwords import MAILS_AN_ADDRESS, SPAN, ask_for_new_password
from shop.people.actions import Refused, change_staff
from shop.people.models import Role, User
from shop.post.delivery import deliver
from shop.post.models import Message
from tests.clocks import later
from tests.conftest import NOW
from tests.smtp import Received

NEW = {"password": "seven brass screws", "again": "seven brass screws"}


@pytest.fixture
def owner_client(proven_client: Client) -> Client:
    """Who changes doors has given the password a moment ago."""
    return proven_client


def post(client: Client, where: str, *args: Any, **typed: Any):  # type: ignore[no-untyped-def]
    return client.post(reverse(f"desk_{where}", args=args), typed)


def test_somebody_joins_by_a_link_shown_once(owner_client: Client) -> None:
    post(owner_client, "people", name="Wyn", email="Wyn@larkhill.example", role="bench")
    wyn = User.objects.get(email="wyn@larkhill.example")
    page = post(owner_client, "person_link", wyn.pk)
    path = re.search(r"http://192\.0\.2\.10:8000(/new-password/[\w/-]+/)", page.text)
    assert path
    newcomer = Client()
    assert newcomer.post(path[1], NEW).status_code == 303
    assert newcomer.get("/my-password/").status_code == 200


def test_link_is_not_on_the_page_before_it_is_asked_for(
    owner_client: Client, bench_hand: User
) -> None:
    page = owner_client.get(reverse("desk_person", args=[bench_hand.pk]))
    assert "/new-password/" not in page.text


def test_who_has_not_set_a_password_cannot_sign_in(owner_client: Client) -> None:
    post(owner_client, "people", name="Wyn", email="wyn@larkhill.example", role="bench")
    typed = {"email": "wyn@larkhill.example", "password": ""}
    assert Client().post(reverse("people_sign_in"), typed).status_code == 422


@pytest.mark.parametrize("email", ["oda@larkhill.example", "ODA@larkhill.example"])
def test_two_cannot_share_an_address(owner_client: Client, email: str) -> None:
    answer = post(owner_client, "people", name="Wyn", email=email, role="bench")
    assert answer.status_code == 422
    assert "Somebody signs in with this address already" in answer.text


def change(client: Client, user: User, **fields: str):  # type: ignore[no-untyped-def]
    typed = {"name": user.name, "email": user.email, "role": user.role, "is_active": "on"}
    return post(client, "person", user.pk, **{k: v for k, v in (typed | fields).items() if v})


def test_bench_hand_becomes_an_owner(owner_client: Client, bench_hand: User) -> None:
    assert change(owner_client, bench_hand, role="owner").status_code == 303
    bench_hand.refresh_from_db()
    assert bench_hand.is_owner


def test_who_leaves_may_no_longer_sign_in(
    owner_client: Client, bench_hand: User, bench_client: Client
) -> None:
    change(owner_client, bench_hand, is_active="")
    assert bench_client.get("/my-password/").status_code == 302


@pytest.mark.parametrize("fields", [{"role": "bench"}, {"is_active": ""}])
def test_last_owner_stays(owner: User, owner_client: Client, fields: dict[str, str]) -> None:
    answer = change(owner_client, owner, **fields)
    assert answer.status_code == 422
    assert "This is the last owner" in answer.text
    owner.refresh_from_db()
    assert owner.is_owner
    assert owner.is_active


def test_an_owner_who_left_does_not_count(owner: User, bench_hand: User) -> None:
    User.objects.filter(pk=bench_hand.pk).update(role=Role.OWNER, is_active=False)
    fields = {"name": "Oda", "email": owner.email, "role": Role.BENCH, "is_active": True}
    fields |= {"at_bench": True}
    with pytest.raises(Refused):
        change_staff(owner.pk, **fields, by=owner, now=NOW)


def forgot(email: str, caller: str = "192.0.2.1", at: Any = NOW) -> list[Message]:
    ask_for_new_password(email, caller=caller, now=at)
    return list(Message.objects.filter(occasion="password"))


def test_forgotten_password_is_set_by_the_mail_that_comes(
    owner: User, smtp_server: Received, stranger: Client
) -> None:
    (message,) = forgot("Oda@larkhill.example ")
    assert deliver(message.pk, NOW)
    (mail,) = smtp_server.messages
    path = re.search(r"http://192\.0\.2\.10:8000(/new-password/[\w/-]+/)", mail.get_content())
    assert path
    assert mail["To"] == "oda@larkhill.example"
    assert stranger.post(path[1], NEW).status_code == 303


def test_no_working_link_lies_in_the_database(owner: User) -> None:
    (message,) = forgot(owner.email)
    assert "$link" in message.body
    assert "/new-password/" not in message.body


def test_page_says_the_same_of_known_and_unknown(owner: User, stranger: Client) -> None:
    texts = {
        stranger.post(reverse("desk_forgot"), {"email": email}, follow=True).text
        for email in (owner.email, "nobody@larkhill.example")
    }
    spoken = {re.sub(r'value="\w{64}"', "", text) for text in texts}
    assert len(spoken) == 1
    assert Message.objects.count() == 1


def test_who_left_gets_no_mail(bench_hand: User) -> None:
    User.objects.filter(pk=bench_hand.pk).update(is_active=False)
    assert forgot(bench_hand.email) == []


def test_mails_for_one_address_are_few_in_an_hour(owner: User) -> None:
    for minute in range(MAILS_AN_ADDRESS + 2):
        sent = forgot(owner.email, f"192.0.2.{minute}", NOW + timedelta(minutes=minute))
    assert len(sent) == MAILS_AN_ADDRESS
    assert len(forgot(owner.email, at=NOW + SPAN)) == MAILS_AN_ADDRESS + 1


def test_double_tap_makes_one_mail(owner: User) -> None:
    assert forgot(owner.email) == forgot(owner.email)


def test_invitation_goes_by_mail_where_there_is_a_server(
    owner_client: Client, bench_hand: User, smtp_server: Received
) -> None:
    assert post(owner_client, "person_mail", bench_hand.pk).status_code == 303
    assert Message.objects.get().to == bench_hand.email


def test_without_a_mail_server_the_owner_is_told(
    owner_client: Client, bench_hand: User, data: Path
) -> None:
    post(owner_client, "person_mail", bench_hand.pk)
    page = owner_client.get(reverse("desk_person", args=[bench_hand.pk]))
    assert "No mail server is set" in page.text
    assert not Message.objects.exists()


@pytest.mark.parametrize("passed", [{"minutes": 16}, {"hours": -1}])
def test_role_and_address_of_another_want_the_password_given_lately(
    owner_client: Client,
    bench_hand: User,
    monkeypatch: pytest.MonkeyPatch,
    passed: dict[str, float],
) -> None:
    later(monkeypatch, **passed)
    answer = change(owner_client, bench_hand, role="owner", email="mine@larkhill.example")
    assert answer.status_code == 303
    assert answer.url.startswith("/confirm/?next=")
    bench_hand.refresh_from_db()
    assert (bench_hand.role, bench_hand.email) == (Role.BENCH, "jory@larkhill.example")
    owner_client.post("/confirm/", {"password": "a long enough phrase"})
    change(owner_client, bench_hand, role="owner")
    bench_hand.refresh_from_db()
    assert bench_hand.is_owner


@pytest.mark.parametrize("where", ["person_link", "person_mail"])
def test_link_for_a_password_wants_the_password_given_lately(
    owner_client: Client, bench_hand: User, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    later(monkeypatch, minutes=16)
    assert post(owner_client, where, bench_hand.pk).url.startswith("/confirm/?next=")
    assert not Message.objects.filter(occasion="password").exists()


def test_somebody_new_wants_the_password_given_lately(
    owner_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    later(monkeypatch, minutes=16)
    post(owner_client, "people", name="Wyn", email="wyn@larkhill.example", role="owner")
    assert not User.objects.filter(name="Wyn").exists()


def test_page_of_a_person_says_beforehand_that_the_password_is_wanted(
    owner_client: Client, bench_hand: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = reverse("desk_person", args=[bench_hand.pk])
    assert "wants your password first" not in owner_client.get(page).text
    later(monkeypatch, minutes=16)
    shown = owner_client.get(page)
    assert shown.status_code == 200
    assert f"/confirm/?next={page}" in shown.text
