"""Questions are answered, and what was said elsewhere is noted with its time and screenshot."""

from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.test import Client

from builds.bench.queries.today import wants
from shop.clock import now as clock_now
from shop.diary.queries import calendar
from shop.house.models import House
from shop.models import Blob, Customer, Entry, Message, User
from shop.post.actions import queue_message, receive, settle, withdraw
from shop.post.models import Occasion, State
from shop.post.queries import open_questions
from tests.desk.conftest import Booker, build_on
from tests.files.pictures import encoded, picture, upload
from tests.smtp import Received


@pytest.fixture
def question(booked: Booker, maud: Customer, now: datetime) -> Message:
    return receive(
        key="question:1",
        about=f"order:{booked().pk}",
        customer=maud,
        subject="Question",
        body="May I bring\nthe sleeve later?",
        now=now,
    )


def answer(client: Client, question: Message, **changed: str) -> int:
    """Send an answer as the page does; the status."""
    fields = {"token": str(uuid4()), "subject": "Your question", "body": "Yes. $link", **changed}
    return client.post(f"/messages/{question.pk}/answer/", fields).status_code


def test_answer_opens_with_the_question_quoted(
    bench_client: Client, question: Message, smtp_server: Received
) -> None:
    page = bench_client.get(f"/messages/{question.pk}/answer/").content.decode()
    assert "&gt; May I bring\n&gt; the sleeve later?" in page
    assert "By mail to maud.ferris@example.com" in page


def test_answer_is_queued_for_whoever_asked(
    bench_client: Client, question: Message, smtp_server: Received
) -> None:
    assert answer(bench_client, question) == 303
    sent = Message.objects.get(answer_to=question)
    assert (sent.to, sent.about, sent.body) == (
        "maud.ferris@example.com", question.about, "Yes. $link",
    )  # fmt: skip
    assert sent.link is not None


def test_double_tap_answers_once(bench_client: Client, question: Message) -> None:
    token = str(uuid4())
    answer(bench_client, question, token=token)
    answer(bench_client, question, token=token)
    assert question.replies.count() == 1


def test_answered_question_is_open_no_more(bench_client: Client, question: Message) -> None:
    assert list(open_questions()) == [question]
    answer(bench_client, question)
    assert not open_questions().exists()


def test_answer_taken_back_opens_the_question_again(
    bench_client: Client, question: Message, owner: User, now: datetime
) -> None:
    answer(bench_client, question)
    withdraw(question.replies.get(), owner, now)
    assert list(open_questions()) == [question]


def test_today_drops_what_is_answered(
    bench_client: Client, question: Message, house: House, now: datetime
) -> None:
    def asked() -> list[str]:
        return [want.url for want in wants([], calendar(house), now) if "answer" in want.url]

    assert asked() == [f"/messages/{question.pk}/answer/"]
    answer(bench_client, question)
    assert asked() == []


def test_news_of_a_stage_answers_nothing(question: Message, maud: Customer, now: datetime) -> None:
    queue_message(
        key="stage", occasion=Occasion.STAGE, about="build:1", customer=maud,
        to=maud.email, subject="It moved", body="On it goes.", now=now + timedelta(hours=1),
    )  # fmt: skip
    assert list(open_questions()) == [question]


def test_question_may_need_no_answer(bench_client: Client, question: Message) -> None:
    bench_client.post(f"/messages/{question.pk}/settle/")
    bench_client.post(f"/messages/{question.pk}/settle/")
    assert not open_questions().exists()
    assert Entry.objects.filter(verb="question_settled").count() == 1


def test_received_tab_counts_what_is_open(
    bench_client: Client, question: Message, owner: User, now: datetime
) -> None:
    counted = 'Received <span class="num brass">1</span>'
    assert counted in bench_client.get("/messages/").content.decode()
    settle(question, owner, now)
    assert counted not in bench_client.get("/messages/").content.decode()


def test_only_a_question_can_be_answered(
    bench_client: Client, question: Message, smtp_server: Received
) -> None:
    answer(bench_client, question)
    sent = question.replies.get()
    assert bench_client.get(f"/messages/{sent.pk}/answer/").status_code == 404


def test_stranger_answers_nobody(stranger: Client, question: Message) -> None:
    answer(stranger, question)
    assert not question.replies.exists()


def said(about: str, **changed: object) -> dict[str, object]:
    """The fields of a note."""
    return {
        "token": str(uuid4()),
        "about": about,
        "how": "telephone",
        "said_at": "2026-11-24T16:30",
        "words": "Amber it is.",
        **changed,
    }


def test_what_was_said_is_noted_with_its_own_time(
    bench_client: Client, booked: Booker, maud: Customer
) -> None:
    build = build_on(booked())
    fields = said(build.about)
    bench_client.post(f"/messages/said/?customer={maud.pk}", fields)
    bench_client.post(f"/messages/said/?customer={maud.pk}", fields)
    noted = Message.objects.get(state=State.LOGGED)
    assert (noted.about, noted.customer, noted.body) == (build.about, maud, "Amber it is.")
    assert noted.done_at
    assert noted.done_at.isoformat() == "2026-11-24T16:30:00+00:00"
    assert noted.made_at > noted.done_at


def test_open_builds_are_offered_where_nobody_is_named(
    bench_client: Client, booked: Booker
) -> None:
    build = build_on(booked())
    assert f"Maud · Ninth Lantern {build}" in bench_client.get("/messages/said/").content.decode()


def test_time_to_come_is_refused_and_the_words_stay(bench_client: Client, maud: Customer) -> None:
    later = (clock_now() + timedelta(days=2)).strftime("%Y-%m-%dT%H:%M")
    fields = said(f"customer:{maud.pk}", said_at=later)
    answered = bench_client.post(f"/messages/said/?customer={maud.pk}", fields)
    assert answered.status_code == 422
    assert "That time is still to come" in answered.content.decode()
    assert "Amber it is." in answered.content.decode()


def test_screenshot_is_kept_and_shown(bench_client: Client, maud: Customer, data: Path) -> None:
    shot = upload(encoded(picture()))
    fields = said(f"customer:{maud.pk}", screenshot=shot)
    bench_client.post(f"/messages/said/?customer={maud.pk}", fields)
    blob = Blob.objects.get()
    assert list(Message.objects.get().blobs.all()) == [blob]
    assert f"/photos/{blob.pk}/320/" in bench_client.get("/messages/?show=left").content.decode()


def test_what_is_no_picture_is_refused_beside_its_field(
    bench_client: Client, maud: Customer, data: Path
) -> None:
    fields = said(f"customer:{maud.pk}", screenshot=upload(b"no picture at all"))
    answered = bench_client.post(f"/messages/said/?customer={maud.pk}", fields)
    assert answered.status_code == 422
    assert not Message.objects.exists()


def test_answer_given_elsewhere_answers_the_question(
    bench_client: Client, question: Message
) -> None:
    bench_client.post(f"/messages/said/?question={question.pk}", said(question.about))
    assert question.replies.count() == 1
    assert not open_questions().exists()


def test_customers_page_leads_there(bench_client: Client, maud: Customer) -> None:
    page = bench_client.get(f"/customers/{maud.pk}/").content.decode()
    assert f"/messages/said/?customer={maud.pk}" in page


def test_answer_in_which_nothing_was_written_is_refused(
    bench_client: Client, question: Message
) -> None:
    page = bench_client.get(f"/messages/{question.pk}/answer/")
    untouched = page.context["form"]["body"].value()
    assert answer(bench_client, question, body=untouched) == 422
    assert not Message.objects.filter(answer_to=question).exists()
