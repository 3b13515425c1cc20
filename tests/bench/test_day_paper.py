"""The dispatch day to take away: its list as PDF, its addresses as CSV."""

import csv
from datetime import datetime
from io import BytesIO, StringIO
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

from builds.dispatch.models import Parcel
from builds.models import Build
from builds.progress.states import State
from shop.models import Customer, House, User
from shop.stores.models import Part
from tests.bench import stands
from tests.dispatch.test_classing import hilt, packed, say
from tests.makers import (
    make_bare_parcel,
    make_build,
    make_customer,
    make_parcel,
    make_part,
    make_service,
    stow,
)

DAY = "?day=2026-11-27"


@pytest.fixture
def build(owner: User, now: datetime, house: object) -> Build:
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    Customer.objects.update(address="7 Saltmarsh Row\nNorthwick\nNW1 7ZZ", country="GB",
                            phone="+44 1632 960007")  # fmt: skip
    parcel = make_parcel([build], owner, now)
    Parcel.objects.update(
        gross_g=940, length_mm=400.0, width_mm=120.5, height_mm=99.6, declared_minor=45_000
    )
    return parcel


def rows(client: Client) -> list[dict[str, str]]:
    """The lines of the file, by its headings."""
    reply = client.get(f"/dispatch/addresses/{DAY}")
    assert reply["Content-Type"] == "text/csv; charset=utf-8"
    return list(csv.DictReader(StringIO(reply.content.decode())))


def text_of(client: Client, url: str) -> Any:
    """The pages of a PDF."""
    reply = client.get(url)
    assert reply["Content-Type"] == "application/pdf"
    return PdfReader(BytesIO(reply.content))


def test_addresses_stand_as_they_were_typed(bench_client: Client, parcel: Parcel) -> None:
    (row,) = rows(bench_client)
    assert row["name"] == "Wren Aldous"
    assert [row[f"address {n}"] for n in range(1, 6)] == [
        "7 Saltmarsh Row", "Northwick", "NW1 7ZZ", "", "",
    ]  # fmt: skip
    assert (row["country"], row["e-mail"]) == ("GB", "Wren@example.com")
    assert (row["weight g"], row["length mm"], row["width mm"]) == ("940", "400", "120")


def test_box_service_and_mark_stand_in_file_and_list(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    build = hilt(owner, now)
    outside = {"outer_length_mm": 1020, "outer_width_mm": 200, "outer_height_mm": 140}
    box = make_part(owner, now, kind="box")
    Part.objects.filter(pk=box.pk).update(spec=box.spec | outside)
    service = make_service("air", name="By plane")
    parcel = packed([build], owner, now, service=service, box=box)
    say(parcel, build, owner, now)
    build.parts.update(quantity=5)
    (row,) = rows(bench_client)
    sides = (row["length mm"], row["width mm"], row["height mm"])
    assert (sides, row["service"]) == (("1020", "200", "140"), "By plane")
    assert (row["UN number"], row["mark"]) == ("UN3481", "mark")
    page = " ".join(text_of(bench_client, f"/dispatch/list/{DAY}").pages[0].extract_text().split())
    assert "102.0 × 20.0 × 14.0" in page
    assert "By plane" in page
    assert "UN3481 · mark" in page


def test_declared_value_is_for_the_owner_alone(
    bench_client: Client, owner_client: Client, parcel: Parcel
) -> None:
    assert "declared value" not in rows(bench_client)[0]
    (row,) = rows(owner_client)
    assert (row["declared value"], row["currency"]) == ("450.00", "GBP")


def test_no_cell_is_taken_for_a_formula(bench_client: Client, parcel: Parcel) -> None:
    Customer.objects.update(full_name='=HYPERLINK("http://192.0.2.9")', address="@SUM(A1)\n-2+3")
    (row,) = rows(bench_client)
    assert row["name"].startswith("'=")
    assert (row["address 1"], row["address 2"]) == ("'@SUM(A1)", "'-2+3")
    assert row["phone"] == "'+44 1632 960007"


def test_no_mark_stands_before_the_first_heading(bench_client: Client, parcel: Parcel) -> None:
    reply = bench_client.get(f"/dispatch/addresses/{DAY}")
    assert reply.content.startswith(b"reference,name,")


def test_long_address_keeps_every_line(bench_client: Client, parcel: Parcel) -> None:
    Customer.objects.update(address="\n".join("abcdefg"))
    (row,) = rows(bench_client)
    assert row["address 5"] == "e, f, g"


def test_list_of_the_day_names_what_is_missing(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    stow(make_bare_parcel([build], owner, now), owner, now)
    page = text_of(bench_client, f"/dispatch/list/{DAY}").pages[0].extract_text()
    assert "Friday 27 November 2026" in page
    assert str(build.hilt) in page
    assert "to tick" in page.replace("\n", " ")


@pytest.mark.parametrize(("country", "width"), [("GB", 595), ("US", 612)])
def test_list_is_cut_to_the_countrys_paper(
    bench_client: Client, parcel: Parcel, country: str, width: int
) -> None:
    House.objects.update(country=country)
    found = text_of(bench_client, f"/dispatch/list/{DAY}")
    assert round(float(found.pages[0].mediabox.width)) == width


def test_words_of_a_customer_are_no_part_of_the_template(
    bench_client: Client, parcel: Parcel
) -> None:
    Customer.objects.update(full_name='#panic("x") $1/0$ *Wren*')
    page = text_of(bench_client, f"/dispatch/list/{DAY}").pages[0].extract_text()
    assert '#panic("x") $1/0$ *Wren*' in page


def test_thirty_parcels_ask_no_more_queries_than_two(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    def fill(count: int) -> int:
        for _ in range(count):
            build = make_build(owner, now, State.DISPATCH, customer=make_customer(now, "Wren"))
            make_parcel([build], owner, now)
        with CaptureQueriesContext(connection) as queries:
            assert bench_client.get(f"/dispatch/{DAY}").status_code == 200
        return len(queries)

    fill(1)
    assert fill(1) == fill(28)


def test_all_three_are_for_the_day_that_is_asked(bench_client: Client, parcel: Parcel) -> None:
    other = bench_client.get("/dispatch/addresses/?day=2026-12-04").content.decode()
    assert "Wren" not in other


def test_a_carrier_gets_the_headings_of_the_shop_whoever_fetches_them(
    bench_client: Client, bench_hand: User, parcel: Parcel
) -> None:
    headings = rows(bench_client)[0].keys()
    bench_hand.language = "de"
    bench_hand.save()
    assert rows(bench_client)[0].keys() == headings
    assert "reference" in headings
