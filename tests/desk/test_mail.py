"""The mail server as the owner types it, and the test mail."""

from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from shop import clock
from shop.env import env_file
from shop.post.delivery import deliver
from shop.post.models import Message
from shop.web import mailserver
from tests.clocks import later
from tests.smtp import Received

TYPED = {
    "host": "smtp.larkhill.example",
    "security": "starttls",
    "port": "",
    "user": "bench@larkhill.example",
    "password": "p:a/s@s w%rd",
}


@pytest.fixture
def owner_client(proven_client: Client) -> Client:
    """Who changes doors has given the password a moment ago."""
    return proven_client


def save(client: Client, **typed: str):  # type: ignore[no-untyped-def]
    return client.post(reverse("desk_mail"), TYPED | typed)


def test_without_a_server_the_page_says_where_mail_goes(owner_client: Client, data: Path) -> None:
    assert "laid down as files" in owner_client.get(reverse("desk_mail")).text


@pytest.mark.parametrize(
    ("security", "port", "as_set"),
    [
        ("starttls", "", (587, True, False)),
        ("tls", "", (465, False, True)),
        ("none", "", (25, False, False)),
        ("starttls", "2525", (2525, True, False)),
    ],
)
def test_server_is_kept_as_typed(
    owner_client: Client, data: Path, security: str, port: str, as_set: tuple[int, bool, bool]
) -> None:
    assert save(owner_client, security=security, port=port).status_code == 303
    kept = mailserver.parsed()
    assert (kept["EMAIL_PORT"], kept["EMAIL_USE_TLS"], kept["EMAIL_USE_SSL"]) == as_set
    assert kept["EMAIL_HOST"] == TYPED["host"]
    assert (kept["EMAIL_HOST_USER"], kept["EMAIL_HOST_PASSWORD"]) == (
        TYPED["user"],
        TYPED["password"],
    )


def test_file_with_the_password_is_the_owners_alone(owner_client: Client, data: Path) -> None:
    save(owner_client)
    assert env_file().stat().st_mode & 0o077 == 0


def test_page_shows_the_server_but_never_the_password(owner_client: Client, data: Path) -> None:
    save(owner_client)
    text = owner_client.get(reverse("desk_mail")).text
    assert "Mail leaves through <b>smtp.larkhill.example</b>" in text
    assert "w%rd" not in text


def test_empty_password_keeps_the_one_for_the_same_server(owner_client: Client, data: Path) -> None:
    save(owner_client)
    save(owner_client, password="", port="2525")
    assert mailserver.parsed()["EMAIL_HOST_PASSWORD"] == TYPED["password"]


def test_kept_password_goes_to_no_other_server(owner_client: Client, data: Path) -> None:
    save(owner_client)
    save(owner_client, password="", host="smtp.elsewhere.example")
    assert not mailserver.parsed()["EMAIL_HOST_PASSWORD"]


@pytest.mark.parametrize("host", ["smtp larkhill", "smtp://larkhill", "a@b", "host:25"])
def test_what_is_no_server_name_is_refused(owner_client: Client, data: Path, host: str) -> None:
    answer = save(owner_client, host=host)
    assert answer.status_code == 422
    assert "A server name has no blanks" in answer.text
    assert not env_file().exists()


def test_server_of_the_environment_is_not_overwritten(
    owner_client: Client, data: Path, smtp_server: Received
) -> None:
    answer = save(owner_client)
    assert answer.status_code == 422
    assert "in the environment" in answer.text


def test_test_mail_arrives(owner_client: Client, smtp_server: Received) -> None:
    answer = owner_client.post(reverse("desk_mail_test"), {"to": "oda@larkhill.example"})
    assert answer.status_code == 303
    assert deliver(Message.objects.get().pk, clock.now())
    (mail,) = smtp_server.messages
    assert mail["To"] == "oda@larkhill.example"


def test_test_mail_to_no_address_is_refused(owner_client: Client, data: Path) -> None:
    answer = owner_client.post(reverse("desk_mail_test"), {"to": "nobody"})
    assert answer.status_code == 422
    assert not Message.objects.exists()


def test_other_server_wants_the_password_given_lately(
    owner_client: Client, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    later(monkeypatch, minutes=16)
    page = reverse("desk_mail")
    assert f"/confirm/?next={page}" in owner_client.get(page).text
    assert save(owner_client).url.startswith("/confirm/?next=")
    assert not env_file().exists()
