"""Questions that customers ask on their page."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from shop.models import House, Message, Order
from shop.post import delivery
from shop.post.models import State
from tests.smtp import Received

pytestmark = pytest.mark.usefixtures("build")


def asked(words: str = "Does the clip fit?") -> dict[str, str]:
    return {"words": words, "once": str(uuid4())}


def test_question_lands_in_the_inbox(stranger: Client, url: str, order: Order) -> None:
    stranger.post(url, asked())
    kept = Message.objects.get(state=State.RECEIVED)
    assert kept.body == "Does the clip fit?"
    assert kept.about == f"order:{order.pk}"
    assert kept.customer == order.customer


def test_question_reaches_the_shops_mailbox(
    stranger: Client, url: str, now: datetime, smtp_server: Received
) -> None:
    stranger.post(url, asked())
    notice = Message.objects.get(state=State.QUEUED)
    assert delivery.deliver(notice.pk, now)
    came = smtp_server.messages[0]
    assert came["To"] == "bench@larkhill.example"
    assert "Does the clip fit?" in came.get_content()


def test_question_is_kept_where_the_shop_has_no_mailbox(
    stranger: Client, url: str, house: House
) -> None:
    House.objects.update(email="")
    stranger.post(url, asked())
    assert Message.objects.get().state == State.RECEIVED


def test_customer_is_thanked_and_told_what_happens_next(stranger: Client, url: str) -> None:
    page = stranger.post(url, asked(), follow=True).content.decode()
    assert "your question is with us" in page
    assert "answer by mail or by telephone" in page


def test_double_tap_asks_once(stranger: Client, url: str) -> None:
    same = asked()
    stranger.post(url, same)
    stranger.post(url, same)
    assert Message.objects.filter(state=State.RECEIVED).count() == 1
    assert Message.objects.filter(state=State.QUEUED).count() == 1


def test_empty_question_is_refused_beside_its_field(stranger: Client, url: str) -> None:
    response = stranger.post(url, asked(words="  "))
    assert response.status_code == 422
    assert "Write your question first." in response.content.decode()


def test_question_that_is_too_long_is_refused_and_kept(stranger: Client, url: str) -> None:
    response = stranger.post(url, asked(words="long " * 500))
    assert response.status_code == 422
    assert "long long long" in response.content.decode()


def test_sixth_question_within_an_hour_is_refused_and_kept(stranger: Client, url: str) -> None:
    for _ in range(5):
        stranger.post(url, asked())
    response = stranger.post(url, asked(words="and one more"))
    assert response.status_code == 429
    assert "and one more" in response.content.decode()
    assert Message.objects.filter(state=State.RECEIVED).count() == 5


def test_after_an_hour_she_may_ask_again(
    stranger: Client, url: str, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(6):
        stranger.post(url, asked())
    later = now + timedelta(hours=1)
    monkeypatch.setattr("builds.visitor.views.now", lambda: later)
    assert stranger.post(url, asked()).status_code == 303


def test_repeat_of_the_last_question_allowed_is_no_sixth(stranger: Client, url: str) -> None:
    last = asked()
    for _ in range(4):
        stranger.post(url, asked())
    stranger.post(url, last)
    assert stranger.post(url, last).status_code == 303


def test_forged_form_is_refused(url: str) -> None:
    assert Client(enforce_csrf_checks=True).post(url, asked()).status_code == 403


def test_fresh_browser_may_ask(url: str) -> None:
    fresh = Client(enforce_csrf_checks=True)
    page = fresh.get(url)
    token = page.context["csrf_token"] if page.context else fresh.cookies["csrftoken"].value
    response = fresh.post(url, asked() | {"csrfmiddlewaretoken": str(token)})
    assert response.status_code == 303
