"""Customers, hilts and orders for the desk's tests, made as the shop makes them; an empty shop."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import uuid4

import pytest
from django.test import Client

from builds.desk.actions.orders import Job, book_job
from builds.progress.models import Build
from builds.progress.states import Kind, Leaves
from shop.env import make_setup_code, setup_code_file
from shop.models import Customer, Order, User
from shop.people.actions import add_customer

Booker = Callable[..., Order]


@pytest.fixture
def maud(owner: User, now: datetime) -> Customer:
    facts = {
        "called": "Maud",
        "full_name": "Maud Ferris",
        "email": "maud.ferris@example.com",
        "phone": "01632 960 114",
        "address": "4 Tannery Row\nExampleton",
        "country": "GB",
    }
    return add_customer(facts, owner, now)


@pytest.fixture
def booked(owner: User, now: datetime, maud: Customer) -> Booker:
    """Books one job: on Maud's new hilt unless told otherwise."""

    def book(hilt_name: str = "Ninth Lantern", customer: Customer = maud, **more: object) -> Order:
        job = Job(
            kind=str(more.pop("kind", Kind.FULL)),
            leaves_by=Leaves.POST,
            wanted=str(more.pop("wanted", "Two switches, blue and white")),
            hilt_name=hilt_name,
            agreed_how=str(more.pop("agreed_how", "")),
        )
        return book_job(job, customer=customer, token=uuid4(), by=owner, now=now, **more)

    return book


def build_on(order: Order) -> Build:
    """The first build on an order."""
    return Build.objects.get(item=order.items.first())


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of this test's own."""
    monkeypatch.setenv("HILTYARD_DATA", str(tmp_path))
    return tmp_path


@pytest.fixture
def code(data: Path) -> str:
    """The one-time code, as `start` makes it."""
    return make_setup_code()


@pytest.fixture
def empty_shop(db: None, code: str) -> Client:
    """A browser at a shop that is not set up yet."""
    assert setup_code_file().exists()
    return Client()
