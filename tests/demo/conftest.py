"""Two fills at the same moment, each taken back, and what a look at them found."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse
from PIL import Image

from builds.bench.queries.board import open_rows
from builds.bench.queries.today import wants
from builds.demo.fill import Filled, fill
from builds.handover.booklet_words.contents import Contents
from builds.handover.queries.booklet import contents
from builds.hilts.models import Hilt
from builds.hilts.queries import Shape, shapes
from builds.intake.models import Photo
from builds.intake.queries import unmatched
from builds.models import Build
from builds.progress.queries import builds
from builds.teardown.queries import Apart, aparts
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.models import Customer, Message
from shop.orders.models import Account, Invoice, Payment
from shop.people.models import User
from shop.stores.models import Part
from shop.stores.queries import figures
from tests.conftest import NOW

ADDRESS = "http://192.0.2.10:8000"
TONES = {
    "box-shut": 10, "box-open": 40, "laid-out": 70, "side-a": 100, "side-b": 130,
    "bore-end": 160, "chassis": 190, "packed": 220,
}  # fmt: skip


@dataclass(frozen=True)
class Seen:
    """What one fill left behind, in plain values."""

    filled: Filled
    builds: list[dict[str, Any]]
    customers: list[dict[str, Any]]
    staff: list[User]
    messages: list[dict[str, Any]]
    wants: list[str]
    rows: list[Any]
    moments: list[datetime]
    unplaced: int
    shared: int
    pages: dict[str, int]
    shapes: dict[str, Shape]
    apart: dict[str, Apart]
    parts: list[dict[str, Any]]
    typical: int
    money: list[str]
    papers: list[str]
    accounts: int
    booklets: list[Contents]


def draw(hilt: str, view: str, box: str) -> bytes:
    """A tiny picture for each view: the drawings themselves have tests of their own."""
    out = BytesIO()
    Image.new("L", (32, 24), TONES[view]).save(out, "JPEG")
    return out.getvalue()


@contextmanager
def _taken_back() -> Iterator[None]:
    with transaction.atomic() as _:
        outer = transaction.get_connection().atomic_blocks[-1]
        outer._from_testcase = True  # as in a test: what wants to be durable may run inside
        yield
        transaction.set_rollback(True)


def _open(filled: Filled) -> dict[str, int]:
    client = Client()
    client.force_login(User.objects.get(email=filled.sign_ins[0][0]))
    found = {
        name: client.get(reverse(name)).status_code
        for name in ("bench_today", "bench_bench", "bench_dispatch", "desk_orders")
    }
    pages = {"page": filled.page, "hilt_page": filled.hilt_page}
    for name, address in pages.items():
        found[name] = Client().get(address.removeprefix(ADDRESS)).status_code
    return found


def _look(filled: Filled) -> Seen:
    diary = calendar(house())
    rows = open_rows(diary, NOW)
    facts = ("number", "hilt__name", "kind", "leaves_by", "state", "tray__number", "state_since",
             "item__order__number", "item__order__customer__full_name")  # fmt: skip
    return Seen(
        filled=filled,
        builds=list(Build.objects.order_by("number").values(*facts)),
        customers=list(Customer.objects.values("email", "phone", "full_name")),
        staff=list(User.objects.order_by("pk")),
        messages=list(Message.objects.order_by("pk").values("key", "to", "state", "done_at")),
        wants=[f"{want.what}: {want.why}" for want in wants(rows, diary, NOW)],
        rows=rows,
        moments=list(Photo.objects.values_list("taken_at", flat=True)),
        unplaced=unmatched().count(),
        shared=Photo.objects.filter(shared=True).count(),
        pages=_open(filled),
        shapes={found.hilt.name: found for found in shapes(Hilt.objects.all()).values()},
        apart={str(found.build.hilt): found for found in aparts(builds()).values()},
        parts=_parts(),
        money=list(Payment.objects.values_list("kind", flat=True)),
        papers=list(Invoice.objects.values_list("paper", flat=True)),
        booklets=[contents(build, house(), NOW) for build in builds() if build.hilt],
        accounts=Account.objects.count(),
        typical=Part.objects.filter(is_typical=True).count(),
    )


def _parts() -> list[dict[str, Any]]:
    parts = list(Part.objects.filter(is_typical=False).select_related("level"))
    known = figures(parts)
    found = []
    for part in parts:
        current = known[part.pk].by_name.get("max_current_ma")
        found.append(
            {
                "name": part.name,
                "free": part.level.free,
                "current": current and current.value,
                "others": [other.value for other in current.others] if current else [],
            }
        )
    return found


@pytest.fixture(scope="package")
def fills(django_db_setup: None, django_db_blocker: Any) -> list[Seen]:
    """Twice the same."""
    seen = []
    with django_db_blocker.unblock():
        for _ in range(2):
            with _taken_back():
                seen.append(_look(fill(NOW, ADDRESS, draw)))
    return seen


@pytest.fixture
def seen(fills: list[Seen]) -> Seen:
    """The first of them."""
    return fills[0]
