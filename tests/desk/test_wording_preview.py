"""The shop's words are looked at with the facts of a real build."""

import pytest
from django.test import Client

from tests.desk.conftest import Booker, build_on

EDIT = "/messages/wording/stage/"
TYPED = {
    "subject": "$hilt for $name",
    "body": "It is in $stage.\nBy $carrier.\n$words\n",
    "look": "1",
}


def test_preview_opens_with_the_newest_build(owner_client: Client, booked: Booker) -> None:
    booked("Copperfen")
    page = owner_client.get(EDIT).content.decode()
    assert "Copperfen: booked" in page


def test_chosen_build_fills_what_is_typed(owner_client: Client, booked: Booker) -> None:
    first = build_on(booked("Copperfen"))
    booked("Ninth Lantern")
    page = owner_client.post(EDIT, {**TYPED, "build": first.number}).content.decode()
    assert "<strong>Copperfen for Maud</strong>" in page
    assert "It is in booked." in page


def test_line_without_a_value_is_left_out_as_in_the_mail(
    owner_client: Client, booked: Booker
) -> None:
    build = build_on(booked())
    page = owner_client.post(EDIT, {**TYPED, "build": build.number}).content.decode()
    preview = page.partition('id="preview"')[2].partition("</section>")[0]
    assert "By " not in preview
    assert "what you add by hand" in preview


@pytest.mark.parametrize("number", ["", "99999", "x", "9" * 30])
def test_without_a_build_an_example_fills_it(
    owner_client: Client, booked: Booker, number: str
) -> None:
    booked()
    page = owner_client.post(EDIT, {**TYPED, "build": number}).content.decode()
    assert "It is in test." in page
