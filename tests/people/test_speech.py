"""Who is spoken to in which language: staff, customers, the shop itself; and nobody by accident."""

from datetime import datetime

import pytest
from django.test import Client
from django.utils.translation import get_language

from builds.queue.wording import stand_of, words_for
from shop.celery import app
from shop.diary.queries import calendar
from shop.house.speech import speaking_as
from shop.models import Customer, House, User
from shop.people.speech import speaking_to
from shop.post.actions import save_wording
from shop.post.models import Occasion
from tests.makers import make_build

pytestmark = pytest.mark.django_db


@pytest.fixture
def german_house(house: House) -> House:
    house.language = "de"
    house.save()
    return house


def _speak(customer: Customer, language: str) -> None:
    customer.language = language
    customer.save()


def test_a_page_is_in_the_language_of_the_shop(german_house: House, owner_client: Client) -> None:
    page = owner_client.get("/").content.decode()
    assert '<html lang="de">' in page
    assert "Heute" in page


def test_a_person_reads_their_own_language_and_nobody_else_does(
    house: House, owner_client: Client, bench_client: Client
) -> None:
    kept = owner_client.post("/my-sign-in/language/", {"language": "de"}, follow=True)
    assert "Gespeichert." in kept.content.decode()
    assert '<html lang="de">' in owner_client.get("/").content.decode()
    assert '<html lang="en-gb">' in bench_client.get("/").content.decode()


def test_a_person_goes_back_to_the_language_of_the_shop(
    german_house: House, owner: User, owner_client: Client
) -> None:
    owner.language = "en-gb"
    owner.save()
    assert '<html lang="en-gb">' in owner_client.get("/").content.decode()
    owner_client.post("/my-sign-in/language/", {"language": ""})
    assert '<html lang="de">' in owner_client.get("/").content.decode()


def test_a_language_that_nobody_translated_is_refused_and_changes_nothing(
    owner: User, owner_client: Client
) -> None:
    said = owner_client.post("/my-sign-in/language/", {"language": "tlh"}, follow=True)
    assert "That language is not known here." in said.content.decode()
    owner.refresh_from_db()
    assert owner.language == ""


def test_the_language_of_one_request_is_not_that_of_the_next(
    german_house: House, stranger: Client
) -> None:
    stranger.get("/sign-in/")
    assert get_language() == "en-gb"


def test_before_the_set_up_the_browser_says_what_its_owner_reads(stranger: Client) -> None:
    House.objects.all().delete()
    asked = {"accept-language": "de-AT,en;q=0.5"}
    page = stranger.get("/", follow=True, headers=asked)
    assert '<html lang="de">' in page.content.decode()


def test_what_a_customer_is_told_is_in_their_language(
    house: House, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    _speak(build.item.order.customer, "de")
    text = words_for(stand_of(build, calendar(house), now), Occasion.ARRIVED, house)
    assert text.body.startswith("Guten Tag Wren!")
    assert get_language() == "en-gb"


def test_a_customer_without_a_language_is_told_in_that_of_the_shop(
    german_house: House, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    text = words_for(stand_of(build, calendar(german_house), now), Occasion.ARRIVED, german_house)
    assert text.body.startswith("Guten Tag Wren!")
    _speak(build.item.order.customer, "en-gb")
    text = words_for(stand_of(build, calendar(german_house), now), Occasion.ARRIVED, german_house)
    assert "Hello" in text.body


def test_the_words_of_the_shop_stay_as_they_were_typed(
    house: House, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    _speak(build.item.order.customer, "de")
    own = "Dear $name, it came. Stage: $stage."
    save_wording(Occasion.ARRIVED, "It is here", own, by=owner, now=now)
    text = words_for(stand_of(build, calendar(house), now), Occasion.ARRIVED, house)
    assert text.subject == "It is here"
    assert text.body.startswith("Dear Wren, it came.")


def test_a_task_speaks_as_the_shop_does_and_leaves_no_language_behind(
    german_house: House,
) -> None:
    heard: list[str | None] = []

    @app.task  # type: ignore[untyped-decorator]
    def listen() -> None:
        heard.append(get_language())

    listen()
    assert heard == ["de"]
    assert get_language() == "en-gb"


def test_a_language_of_a_later_version_is_read_as_that_of_the_shop(house: House) -> None:
    with speaking_as(house, "tlh"):
        assert get_language() == "en-gb"


def test_nobody_in_particular_is_spoken_to_as_the_shop_does(german_house: House) -> None:
    with speaking_to(None):
        assert get_language() == "de"
