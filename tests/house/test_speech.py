"""What the shop says of itself, how it writes: its settings, and the paper that follows."""

import pytest
from django.test import Client

from shop.models import House

pytestmark = pytest.mark.django_db
CHOSEN = {"language": "de", "date_form": "iso", "clock_form": "12", "first_day": "6", "paper": ""}


@pytest.mark.parametrize(
    ("country", "paper", "sheet"),
    [
        ("GB", "", "a4"),
        ("US", "", "us-letter"),
        ("US", "a4", "a4"),
        ("DE", "us-letter", "us-letter"),
    ],
)
def test_paper_is_that_of_the_country_unless_the_shop_chose(
    country: str, paper: str, sheet: str
) -> None:
    assert House(country=country, paper=paper).sheet == sheet


def test_the_owner_chooses_once_and_every_page_follows(house: House, owner_client: Client) -> None:
    said = owner_client.post("/settings/speech/", CHOSEN, follow=True).content.decode()
    assert "Gespeichert." in said
    house.refresh_from_db()
    assert (house.language, house.date_form, house.clock_form) == ("de", "iso", "12")
    assert "2026-" in owner_client.get("/").content.decode()


def test_a_week_begins_as_the_shop_says(house: House, owner_client: Client) -> None:
    def first() -> str:
        page = owner_client.get("/settings/hours/").content.decode()
        return min((f"opens_{day}" for day in range(7)), key=page.index)

    assert first() == "opens_0"
    owner_client.post("/settings/speech/", CHOSEN | {"language": "en-gb"})
    assert first() == "opens_6"


def test_a_language_that_nobody_translated_is_refused(house: House, owner_client: Client) -> None:
    refused = owner_client.post("/settings/speech/", CHOSEN | {"language": "tlh"})
    assert refused.status_code == 422
    house.refresh_from_db()
    assert house.language == "en-gb"


def test_the_bench_does_not_choose_for_the_shop(house: House, bench_client: Client) -> None:
    assert bench_client.post("/settings/speech/", CHOSEN).status_code in {302, 303, 403}
    house.refresh_from_db()
    assert house.date_form == ""
