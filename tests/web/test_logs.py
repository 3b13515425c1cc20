"""Nothing that opens a private page reaches the log."""

import io
import logging
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.utils.log import configure_logging
from django_otp.oath import TOTP

from builds.progress.linking import order_link
from shop import clock
from shop.models import User
from shop.people import actions as people
from shop.people import factors
from shop.people.queries import reset_path
from shop.post import links
from shop.web.logs import without_tokens
from tests.makers import make_item

pytestmark = pytest.mark.django_db


@pytest.fixture
def console() -> Iterator[io.StringIO]:
    """What the console of a shop shows, by the shop's own LOGGING."""
    configure_logging(settings.LOGGING_CONFIG, settings.LOGGING)
    shown, root = io.StringIO(), logging.getLogger()
    (handler,) = [one for one in root.handlers if type(one) is logging.StreamHandler]
    handler.setStream(shown)
    level = root.level
    yield shown
    root.removeHandler(handler)
    root.setLevel(level)


@pytest.fixture
def token(owner: User, now: datetime) -> str:
    link = order_link(make_item(owner, now).order, now)
    return links.token(link.id, link.version, settings.LINK_KEY)


def test_address_of_a_private_page_is_not_logged(
    stranger: Client, token: str, console: io.StringIO
) -> None:
    assert stranger.get(f"/your/order/{token}/photos/99/320/").status_code == 404
    assert stranger.get(f"/your/hilt/{token}/").status_code == 404
    assert stranger.delete(f"/your/order/{token}/").status_code == 405
    for wrong in range(25):  # too many guesses: 429 is logged like 404
        stranger.get(f"/your/order/{token[:-2]}{wrong:02}/")
    assert "Not Found: /your/order/[hidden]" in console.getvalue()
    assert "Too Many Requests: /your/order/[hidden]" in console.getvalue()
    assert token[:-2] not in console.getvalue()


def test_address_for_a_new_password_is_not_logged(
    stranger: Client, owner: User, console: io.StringIO
) -> None:
    path = reset_path(owner)
    stranger.put(path)
    stranger.get(f"{path}x/")
    secret = path.strip("/").rpartition("/")[2]
    assert "/new-password/[hidden]" in console.getvalue()
    assert secret not in console.getvalue()


def test_traceback_holds_no_token_either(console: io.StringIO, token: str) -> None:
    try:
        raise RuntimeError(f"went wrong at /your/order/{token}/")
    except RuntimeError:
        logging.getLogger("hiltyard.tests").exception("a fault")
    assert "went wrong at /your/order/[hidden]" in console.getvalue()
    assert token not in console.getvalue()


def test_nothing_that_opens_a_door_is_logged(
    stranger: Client, owner: User, bench_hand: User, now: datetime, console: io.StringIO
) -> None:
    logging.getLogger().setLevel(logging.DEBUG)
    phrase, wrong, pin, nonce = "a long enough phrase", "a wrong phrase", "407155", "5eed" * 8
    then = clock.now() - timedelta(hours=1)
    app = TOTP(factors.secret_of(owner.pk, nonce))
    app.time = then.timestamp()
    paper = factors.turn_on(owner, nonce, f"{app.token():06}", now=then)
    people.set_pin(bench_hand, pin, by=bench_hand, now=now)
    for password in (wrong, phrase):
        stranger.post("/sign-in/", {"email": owner.email, "password": password})
    for code in ("731964", paper[0]):
        stranger.post("/sign-in/second/", {"code": code})
    for typed in ("990017", pin):
        stranger.post("/who/", {"person": bench_hand.pk, "pin": typed})
    assert stranger.session["_auth_user_id"] == str(bench_hand.pk)
    reset = reset_path(owner)
    Client().post(reset, {"password": wrong, "again": "another"})
    secret = factors.in_base32(factors.secret_of(owner.pk, nonce))
    logged = console.getvalue()
    assert "Unprocessable" in logged
    for told in (
        "a sign-in was refused: user:",
        "a code was refused: user:",
        "a PIN was refused:",
        "signed in: user:",
    ):
        assert told in logged
    for word in (
        phrase,
        wrong,
        pin,
        "990017",
        "731964",
        secret,
        nonce,
        reset.split("/")[-2],
        str(stranger.session.session_key),
        settings.SECRET_KEY,
        settings.LINK_KEY,
        *paper,
    ):
        assert word not in logged, word


def test_fault_while_somebody_signs_in_logs_no_password(
    stranger: Client, owner: User, console: io.StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(**_typed: str) -> None:
        raise RuntimeError("the database is away")

    monkeypatch.setattr(people, "authenticate", break_down)
    stranger.raise_request_exception = False
    typed = {"email": owner.email, "password": "a long enough phrase"}
    assert stranger.post("/sign-in/", typed).status_code == 500
    assert "the database is away" in console.getvalue()
    assert "a long enough phrase" not in console.getvalue()


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ("Not Found: /orders/2026-001/", "Not Found: /orders/2026-001/"),
        ("to /your/order/nonsense here", "to /your/order/[hidden] here"),
        ("/new-password/MQ/c9x-12/", "/new-password/[hidden]"),
        ("by aaaabbbbccccdddd-22223333444455556666777722 it", "by [hidden] it"),
    ],
)
def test_line(line: str, kept: str) -> None:
    assert without_tokens(line) == kept


def test_logging_of_the_shop_uses_it() -> None:
    config: Any = settings.LOGGING
    assert config["formatters"]["text"]["()"] == "shop.web.logs.DiscreetFormatter"
    assert config["formatters"]["json"]["()"] == "shop.web.logs.JsonFormatter"
    assert set(config["formatters"]) == {"text", "json"}
    assert {handler["formatter"] for handler in config["handlers"].values()} == {"text"}
