"""Announcing a return on the page of a hilt: the number at once, the cautions with it."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from builds.handover.actions.returns import Verdict, decide, end_return, make_build
from builds.handover.models import Return, ReturnPhoto
from builds.handover.words import HARMED
from builds.models import Build
from shop.diary.models import Closure
from shop.models import House, Message, User
from tests.handover.making import announced, covered
from tests.visitor import making

ADDRESS = "4 Tannery Row"


@pytest.fixture(autouse=True)
def shop(house: House) -> House:
    """A shop with an address and a mailbox."""
    house.address, house.email = f"{ADDRESS}\nExampleton", "bench@larkhill.example"
    house.save()
    return house


@pytest.fixture
def gone(build: Build, now: datetime) -> Build:
    return making.finished(build, now)


@pytest.fixture
def page(gone: Build, now: datetime) -> str:
    return f"/your/hilt/{making.token(making.hilt_link_to(gone, now))}/"


def text(client: Client, url: str) -> str:
    """The page without the blanks of its source."""
    return " ".join(client.get(url).content.decode().split())


def send(client: Client, page: str, **more: Any) -> Any:
    """The form sent, as a person fills it in."""
    said = {"words": "It does not light any more.", "cell": "fine", "once": str(uuid4())}
    return client.post(f"{page}return/", said | more)


def test_owner_gets_the_number_and_where_to_send_it_at_once(stranger: Client, page: str) -> None:
    answer = send(stranger, page)
    assert (answer.status_code, answer.headers["Location"]) == (303, f"{page}#return")
    shown = text(stranger, page)
    assert '<p class="box-number num">R0001</p>' in shown
    assert ADDRESS in shown
    assert "must not be posted at all" in shown


@pytest.mark.parametrize(("cell", "is_asked"), [("fine", True), ("harmed", False)])
def test_who_is_to_post_it_back_is_asked_to_let_nothing_arrive_while_nobody_is_here(
    stranger: Client, page: str, now: datetime, cell: str, is_asked: bool
) -> None:
    closed = timezone.now().date() + timedelta(days=7)
    Closure.objects.create(first=closed, last=closed + timedelta(days=6))
    send(stranger, page, cell=cell)
    asked = "Please don’t let it arrive between"
    assert (asked in text(stranger, page)) == is_asked
    assert (asked in Message.objects.get(occasion="return_noted").body) == is_asked


def test_harmed_battery_is_not_to_be_posted_and_no_address_is_given(
    stranger: Client, page: str
) -> None:
    send(stranger, page, cell="harmed")
    shown = text(stranger, page)
    assert "Do not post it" in shown
    assert "call the fire service" in shown
    assert ADDRESS not in shown
    mail = Message.objects.get(occasion="return_noted")
    assert ADDRESS not in mail.body
    assert str(HARMED) in mail.body


def test_owner_and_shop_are_told_by_mail(stranger: Client, page: str) -> None:
    send(stranger, page)
    to_owner = Message.objects.get(occasion="return_noted")
    assert (to_owner.to, to_owner.subject) == ("ines@example.com", "Copperfen comes back: R0001")
    assert "Write R0001 on the box" in to_owner.body
    to_shop = Message.objects.get(key__startswith="return-notice")
    assert to_shop.to == "bench@larkhill.example"


def test_double_tap_announces_once(stranger: Client, page: str) -> None:
    once = str(uuid4())
    for _tap in range(2):
        assert send(stranger, page, once=once).status_code == 303
    assert Return.objects.count() == 1
    assert Message.objects.filter(occasion="return_noted").count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [({"words": " "}, "Say in a few words what is wrong."), ({"cell": ""}, "Look at the battery")],
)
def test_what_is_missing_is_said_and_nothing_typed_is_lost(
    typed: dict[str, str], said: str, stranger: Client, page: str
) -> None:
    answer = send(stranger, page, **({"words": "Dead since Sunday"} | typed))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert typed.get("words", "Dead since Sunday") in answer.content.decode()
    assert not Return.objects.exists()


def test_photos_come_along(stranger: Client, page: str) -> None:
    photo = SimpleUploadedFile("p.jpg", making.drawing(), "image/jpeg")
    assert send(stranger, page, photos=[photo]).status_code == 303
    assert ReturnPhoto.objects.get().announced == Return.objects.get()


def test_what_is_no_picture_is_refused_beside_its_field(stranger: Client, page: str) -> None:
    wrong = SimpleUploadedFile("p.jpg", b"no picture", "image/jpeg")
    assert send(stranger, page, photos=[wrong]).status_code == 422
    assert not Return.objects.exists()


def test_what_is_announced_is_not_asked_again(
    stranger: Client, page: str, gone: Build, now: datetime
) -> None:
    announced(gone, now)
    assert "Tell the shop" not in text(stranger, page)
    assert send(stranger, page).status_code == 422


def test_decision_stands_on_the_page(
    stranger: Client, page: str, gone: Build, owner: User, now: datetime
) -> None:
    covered(announced(gone, now), owner, now)
    shown = text(stranger, page)
    assert "you pay nothing for the work" in shown
    assert "Because: the switch broke" in shown
    assert "You pay the way to us, we pay the way back." in shown


def test_page_leads_to_the_work_once_it_is_booked(
    stranger: Client, page: str, gone: Build, owner: User, now: datetime, house: House
) -> None:
    house.public_url = "https://bench.example.com"
    house.save()
    make_build(announced(gone, now).pk, by=owner, now=now)
    assert "https://bench.example.com/your/order/" in text(stranger, page)


def test_why_the_shop_closed_it_is_not_told(
    stranger: Client, page: str, gone: Build, owner: User, now: datetime
) -> None:
    end_return(announced(gone, now).pk, "a difficult customer", by=owner, now=now)
    shown = text(stranger, page)
    assert "difficult" not in shown
    assert "Tell the shop" in shown


def test_bench_words_of_a_decision_are_those_for_the_owner_alone(
    stranger: Client, page: str, gone: Build, owner: User, now: datetime
) -> None:
    verdict = Verdict("goodwill", "it was close", "shop")
    decide(announced(gone, now).pk, verdict, seen="", by=owner, now=now)
    assert "Oda" not in text(stranger, page)


def test_sixth_try_of_a_day_is_told_to_write(stranger: Client, page: str, gone: Build) -> None:
    answers = [send(stranger, page, cell="fine").status_code for _try in range(6)]
    assert answers[0] == 303
    assert answers[-1] == 429


def test_photos_that_nobody_can_read_are_no_announcement(stranger: Client, page: str) -> None:
    for number in range(6):
        broken = SimpleUploadedFile(f"{number}.jpg", b"no picture")
        assert send(stranger, page, photos=[broken]).status_code == 422
    assert send(stranger, page).status_code == 303


def test_wrong_link_announces_nothing(stranger: Client, gone: Build) -> None:
    answer = send(stranger, "/your/hilt/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz/")
    assert answer.status_code == 404
    assert not Return.objects.exists()


def test_hilt_that_never_left_has_nothing_to_announce(
    stranger: Client, build: Build, now: datetime
) -> None:
    page = f"/your/hilt/{making.token(making.hilt_link_to(build, now))}/"
    assert send(stranger, page).status_code == 303
    assert not Return.objects.exists()


def test_work_for_an_owner_before_is_nobody_elses_to_see(
    stranger: Client, page: str, gone: Build, now: datetime
) -> None:
    assert gone.hilt
    gone.hilt.customer = making.customer(now, called="Ruth", email="ruth@example.com")
    gone.hilt.save()
    assert "Nothing is finished on it yet." in text(stranger, page)
    assert send(stranger, page).status_code == 303
    assert not Return.objects.exists()
