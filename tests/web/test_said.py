"""What a deed says is read on the next page, once, and by nobody else at that tablet."""

import random
from typing import Any

import pytest
from django.contrib import messages
from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory

from shop.models import Session, User
from shop.web.said import Said

pytestmark = pytest.mark.django_db


def asked(session: Any, cookies: dict[str, str]) -> HttpRequest:
    request = RequestFactory().get("/")
    request.session = session
    request.COOKIES = cookies
    request._messages = Said(request)
    return request


def told(owner: User, client: Client, words: str) -> tuple[Any, dict[str, str]]:
    """A session in which a deed said something, and the cookies that its answer set."""
    client.force_login(owner)
    session, answer = client.session, HttpResponse()
    request = asked(session, {})
    messages.success(request, words)
    request._messages.update(answer)
    return session, {name: morsel.value for name, morsel in answer.cookies.items()}


def test_deed_is_told_on_the_next_page_without_a_write(owner: User, client: Client) -> None:
    session, cookies = told(owner, client, "It is in install.")
    assert [str(each) for each in get_messages(asked(session, cookies))] == ["It is in install."]
    row = Session.objects.get(session_key=session.session_key)
    assert "install" not in str(row.get_decoded())


def test_somebody_else_at_the_tablet_is_not_told(
    owner: User, bench_hand: User, client: Client
) -> None:
    _session, cookies = told(owner, client, "It is in install.")
    other = Client()
    other.force_login(bench_hand)
    assert not list(get_messages(asked(other.session, cookies)))


def test_changed_cookie_tells_nothing(owner: User, client: Client) -> None:
    session, cookies = told(owner, client, "It is in install.")
    changed = {name: f"{value[:-2]}xx" for name, value in cookies.items()}
    assert not list(get_messages(asked(session, changed)))


def test_what_is_too_long_for_a_cookie_is_told_whole(owner: User, client: Client) -> None:
    dice = random.Random(1)  # noqa: S311 – no secret, only what does not pack well
    long = "".join(chr(dice.randrange(0x4E00, 0x9FFF)) for _sign in range(3000))
    session, cookies = told(owner, client, long)
    assert [str(each) for each in get_messages(asked(session, cookies))] == [long]
