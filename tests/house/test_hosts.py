"""The shop answers to its own names alone."""

import pytest
from django.test import Client
from pytest_django import Settings

from shop.house.hosts import is_known
from shop.house.models import House

OWN = ["larkhill.example", "192.0.2.10", "127.0.0.1", "[::1]", "localhost", "bench.local"]


@pytest.mark.parametrize("name", OWN)
def test_own_name_is_known(house: House, name: str) -> None:
    assert is_known(name, house)


@pytest.mark.parametrize("name", ["rebound.example", "larkhill.example.net", "local", ""])
def test_strange_name_is_not_known(house: House, name: str) -> None:
    assert not is_known(name, house)


def test_strange_name_is_answered_with_what_to_do(house: House, settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    answer = Client().get("/sign-in/", headers={"host": "rebound.example"})
    assert answer.status_code == 400
    assert "rebound.example" in answer.content.decode()
    assert Client().get("/sign-in/", headers={"host": "larkhill.example"}).status_code == 200


def test_empty_shop_answers_to_any_name(db: None, settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    assert Client().get("/set-up/", headers={"host": "new.example"}).status_code == 200


def test_list_of_hosts_counts_instead(house: House, settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["proxy.example"]
    assert Client().get("/sign-in/", headers={"host": "proxy.example"}).status_code == 200
