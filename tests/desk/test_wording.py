"""Wording: the owner's own words for an occasion."""

import pytest
from django.test import Client

from shop.models import Wording

SENT = "/messages/wording/sent/"


def test_owner_keeps_their_own_words(owner_client: Client) -> None:
    answer = owner_client.post(SENT, {"subject": "$hilt left", "body": "Hello $name.\n$shop"})
    own = Wording.objects.get()
    assert answer.status_code == 303
    assert (own.occasion, own.subject) == ("sent", "$hilt left")


def test_an_unknown_placeholder_is_refused_by_name_and_the_text_kept(owner_client: Client) -> None:
    answer = owner_client.post(SENT, {"subject": "Left", "body": "Hello $nmae, it left."})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "$nmae" in page.split('class="wrongs"')[1].split("</ul>")[0]
    assert "Hello $nmae, it left." in page
    assert not Wording.objects.exists()


def test_an_unknown_placeholder_in_the_subject_is_told_there(owner_client: Client) -> None:
    page = owner_client.post(SENT, {"subject": "$hlit", "body": "Hello."}).content.decode()
    assert "$hlit" in page.split('id="id_subject_error"')[1].split("</div>")[0]


def test_looking_at_the_words_first_keeps_nothing(owner_client: Client) -> None:
    sent = {"subject": "$hilt went", "body": "Dear $name!", "look": "1"}
    answer = owner_client.post(SENT, sent)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Ninth Lantern went" in page
    assert "Dear Maud!" in page
    assert not Wording.objects.exists()


def test_owner_goes_back_to_the_first_words(owner_client: Client) -> None:
    owner_client.post(SENT, {"subject": "Mine", "body": "Mine alone."})
    assert "Mine" in owner_client.get("/messages/wording/").content.decode()
    owner_client.post(f"{SENT}reset/")
    assert not Wording.objects.exists()
    assert "is on its way" in owner_client.get(SENT).content.decode()


@pytest.mark.parametrize("path", ["/messages/wording/", SENT])
def test_bench_hand_does_not_write_the_shops_words(bench_client: Client, path: str) -> None:
    assert bench_client.get(path).status_code == 403


def test_words_between_tool_and_staff_are_not_offered(owner_client: Client) -> None:
    assert owner_client.get("/messages/wording/password/").status_code == 404
