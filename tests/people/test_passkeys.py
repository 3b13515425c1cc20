"""Passkeys, with a virtual authenticator in Chromium; and what is refused without any."""

import json
from collections.abc import Iterator
from typing import Any, Literal

import cbor2
import pytest
from axe_playwright_python.sync_playwright import Axe
from cryptography.hazmat.primitives.asymmetric import ec
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from shop import clock
from shop.history.models import Entry
from shop.models import Passkey, RecoveryCode, User
from shop.people import actions, passkeys

PHRASE = "a long enough phrase"
SECOND, NEW = "/sign-in/second/", "/my-sign-in/passkey/"


def given(user: User, client: Client) -> Client:
    client.post("/sign-in/", {"email": user.email, "password": PHRASE})
    return client


def a_passkey(user: User, host: str = "localhost") -> Passkey:
    fields: dict[str, Any] = {"name": "my stick", "host": host, "credential": "AAAA"}
    return Passkey.objects.create(person=user, public_key=b"no key", since=clock.now(), **fields)


@pytest.mark.parametrize("host", ["192.0.2.10", "bench.local", "[::1]"])
def test_without_https_none_is_made(owner: User, host: str, settings: Any) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    page = given(owner, Client(headers={"host": host})).get(NEW).text
    assert "Not at this address" in page
    assert "data-passkey" not in page


def test_page_says_where_they_work(owner: User) -> None:
    assert "under HTTPS" in given(owner, Client()).get("/my-sign-in/").text


def test_under_https_the_browser_is_asked_for_this_host(owner: User) -> None:
    client = Client(headers={"host": "localhost:8000"})
    asked = json.loads(given(owner, client).get(NEW).context["asked"])
    assert asked["rp"] == {"name": "Larkhill Works", "id": "localhost"}
    assert owner.email not in asked["user"]["id"]


def test_passkey_of_another_host_is_not_asked_for_and_that_is_said(owner: User) -> None:
    a_passkey(owner, "bench.larkhill.example")
    page = given(owner, Client()).get(SECOND).text
    assert "data-passkey" not in page
    assert "works at bench.larkhill.example alone" in page


@pytest.mark.parametrize(
    "said",
    ["", "{}", "[]", "null", "x" * 20_000, '{"id": "AAAA"}', '{"id": "BBBB", "rawId": "BBBB"}',
     '{"id": "AAAA", "rawId": "AAAA", "type": "public-key", "response": {"clientDataJSON": "e30",'
     ' "authenticatorData": "AA", "signature": "AA"}}'],
)  # fmt: skip
def test_nonsense_opens_nothing_and_makes_nothing(owner: User, said: str) -> None:
    a_passkey(owner)
    client = given(owner, Client(headers={"host": "localhost"}))
    client.get(SECOND)
    assert client.post(f"{SECOND}passkey/", {"said": said}).status_code == 422
    assert client.get("/my-sign-in/").status_code == 302
    with pytest.raises(actions.Refused):
        passkeys.keep(
            owner, said, name="x", challenge="AAAA", origin="http://localhost", now=clock.now()
        )


def test_tries_are_counted_with_those_of_codes(owner: User) -> None:
    a_passkey(owner)
    client = given(owner, Client(headers={"host": "localhost"}))
    answers = [client.post(f"{SECOND}passkey/", {"said": "{}"}).text for _ in range(6)]
    assert "Too many tries" in answers[-1]


@pytest.fixture
def page(browser: Browser, live_server: LiveServer) -> Iterator[Page]:
    """A browser with an authenticator inside that shows itself when it is asked."""
    context = browser.new_context(base_url=live_server.url.replace("127.0.0.1", "localhost"))
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True}
    always = {"hasUserVerification": True, "isUserVerified": True}
    session.send("WebAuthn.addVirtualAuthenticator", {"options": {**options, **always}})
    yield page
    context.close()


def another_key() -> bytes:
    """The public half of a P-256 key that no authenticator has, as COSE writes it."""
    point = ec.generate_private_key(ec.SECP256R1()).public_key().public_numbers()
    x, y = (number.to_bytes(32, "big") for number in (point.x, point.y))
    return cbor2.dumps({1: 2, 3: -7, -1: 1, -2: x, -3: y})


def type_password(page: Page) -> None:
    page.goto("/sign-in/")
    page.fill("[name=email]", "oda@larkhill.example")
    page.fill("[name=password]", PHRASE)
    page.get_by_role("button", name="Sign in").click()


def make_one(page: Page) -> None:
    page.goto(NEW)
    page.fill("[name=name]", "the bench's own")
    page.get_by_role("button", name="Make the passkey").click()
    expect(page.get_by_text("not shown again")).to_be_visible()


def begin_again(page: Page) -> None:
    page.goto("/my-sign-in/")
    page.get_by_role("button", name="Sign out", exact=True).click()
    type_password(page)


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_passkey_is_made_and_opens_the_door(owner: User, page: Page) -> None:
    type_password(page)
    make_one(page)
    assert RecoveryCode.objects.count() == 10
    begin_again(page)
    expect(page.get_by_role("heading", name="Second step")).to_be_visible()
    page.goto("/my-sign-in/")
    expect(page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
    page.goto(SECOND)
    page.get_by_role("button", name="Use the passkey").click()
    page.wait_for_url("**/my-password/")
    kept = Passkey.objects.get()
    assert kept.used_at
    assert kept.host == "localhost"
    assert kept.sign_count > 0
    assert Entry.objects.filter(verb="passkey_added").exists()


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_passkey_of_another_authenticator_is_refused_in_words(
    owner: User, bench_hand: User, page: Page
) -> None:
    type_password(page)
    make_one(page)
    Passkey.objects.update(public_key=another_key())
    begin_again(page)
    page.get_by_role("button", name="Use the passkey").click()
    expect(page.get_by_text("did not open the door")).to_be_visible()
    page.goto("/my-sign-in/")
    expect(page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_removed_passkey_is_asked_for_no_more(owner: User, page: Page) -> None:
    type_password(page)
    make_one(page)
    page.goto("/my-sign-in/")
    page.get_by_role("button", name="Remove").click()
    expect(page.get_by_text("opens nothing any more")).to_be_visible()
    begin_again(page)
    expect(page.get_by_role("button", name="Sign out", exact=True)).to_be_visible()


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_the_second_step_are_clean_for_assistive_tools(
    owner: User, page: Page, scheme: Literal["light", "dark"]
) -> None:
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")

    def look() -> None:
        for width in (360, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            result = Axe().run(page)
            assert result.violations_count == 0, result.generate_report()
            assert page.evaluate("document.documentElement.scrollWidth") <= width

    type_password(page)
    page.goto("/my-sign-in/app/")
    look()
    page.goto(NEW)
    look()
    page.fill("[name=name]", "the bench's own")
    page.get_by_role("button", name="Make the passkey").click()
    expect(page.get_by_text("not shown again")).to_be_visible()
    look()
    page.goto("/my-sign-in/")
    look()
    begin_again(page)
    expect(page.get_by_role("heading", name="Second step")).to_be_visible()
    look()
    page.fill("[name=code]", "123456")
    page.get_by_role("button", name="Go on").click()
    expect(page.get_by_text("This code is not right")).to_be_visible()
    look()
