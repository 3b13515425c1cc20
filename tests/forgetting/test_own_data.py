"""A customer's own data as a file, and the page that hands it out."""

import io
import json
import re
import zipfile
from datetime import datetime

import pytest
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext, override

from builds.forgetting.queries.own_data import columns_of, write_own_data
from builds.forgetting.queries.readable import fields_read, is_worded
from builds.forgetting.reach import HELD, OWN, Held
from builds.forgetting.words import TABLES
from shop.files.queries import original_name
from shop.house.queries import house as the_house
from shop.models import Blob, Customer, Entry, House, Message, User
from tests.forgetting.conftest import MAIL, NAME, Known, asked_before
from tests.makers import check_cell
from tests.visitor import making

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def given(known: Known, now: datetime) -> zipfile.ZipFile:
    file = io.BytesIO()
    write_own_data(file, known.customer, the_house(), now)
    return zipfile.ZipFile(file)


def test_it_holds_what_is_theirs(given: zipfile.ZipFile, known: Known) -> None:
    data = json.loads(given.read("data.json"))
    assert data["you"][0]["full_name"] == NAME
    assert data["you"][0]["email"] == MAIL
    filled = {name for name, rows in data.items() if rows}
    assert filled >= {
        "orders", "builds", "hilts", "messages", "enquiries", "photos", "films", "booklets",
        "returns", "answers", "invoices", "quotes", "parcels that left", "parcels that came",
    }  # fmt: skip


def test_every_file_is_in_it(given: zipfile.ZipFile) -> None:
    names = {name for name in given.namelist() if name.startswith("files/")}
    kept = [blob for blob in Blob.objects.all() if _is_there(blob)]
    assert len(names) == len(kept) > 3
    assert {len(given.read(name)) for name in names} == {blob.size for blob in kept}


def _is_there(blob: Blob) -> bool:
    return default_storage.exists(original_name(blob.sha256))


def test_it_names_nobody_else(known: Known, owner: User, now: datetime) -> None:
    making.build(
        making.order(making.customer(now, full_name="Ottilie Fenn"), now, "2026-032"), owner, now
    )
    file = io.BytesIO()
    write_own_data(file, known.customer, the_house(), now)
    text = zipfile.ZipFile(file).read("data.json").decode()
    assert "Ottilie Fenn" not in text
    assert "2026-032" not in text
    assert owner.email not in text
    assert '"by_id"' not in text


def test_page_in_it_is_safe_to_open(known: Known, now: datetime) -> None:
    Customer.objects.update(note="<script>alert(1)</script>")
    known.customer.refresh_from_db()
    file = io.BytesIO()
    write_own_data(file, known.customer, the_house(), now)
    page = zipfile.ZipFile(file).read("read-me-first.html").decode()
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_owner_hands_it_out_and_history_says_so(
    owner_client: Client, known: Known, house: House
) -> None:
    answer = owner_client.post(reverse("forgetting_own_data", args=[known.customer.pk]))
    content = b"".join(answer.streaming_content)
    assert zipfile.ZipFile(io.BytesIO(content)).testzip() is None
    assert answer.headers["Cache-Control"] == "private, no-store"
    assert Entry.objects.filter(verb="own_data_given").count() == 1


def test_page_erases_after_the_name_was_typed(owner_client: Client, known: Known) -> None:
    page = reverse("forgetting_data", args=[known.customer.pk])
    wrong = owner_client.post(page, {"typed": "somebody"})
    assert wrong.status_code == 422
    assert "That is not the name" in wrong.content.decode()
    assert owner_client.post(page, {"typed": f" {NAME} "}).status_code == 303
    shown = owner_client.get(page).content.decode()
    assert "Erased on" in shown
    assert NAME not in shown
    # The other tablet, which had the page open still.
    assert owner_client.post(page, {"typed": NAME}).status_code == 303
    theirs = reverse("desk_customer", args=[known.customer.pk])
    assert "Erased on" in owner_client.get(theirs).content.decode()
    # A tablet that still shows the form writes nobody down again.
    owner_client.post(theirs, {"called": "Zeb", "full_name": NAME})
    assert Customer.objects.get(pk=known.customer.pk).full_name == "Erased customer"
    assert NAME not in owner_client.get(reverse("desk_customers")).content.decode()


def test_bench_sees_none_of_it(bench_client: Client, known: Known) -> None:
    pk = known.customer.pk
    assert bench_client.get(reverse("forgetting_data", args=[pk])).status_code == 403
    for name in ("forgetting_data", "forgetting_own_data", "forgetting_years"):
        assert bench_client.post(reverse(name, args=[pk]), {"typed": NAME}).status_code == 403
    assert "forget their data" not in bench_client.get(f"/customers/{pk}/").content.decode()
    assert Customer.objects.get(pk=pk).erased_at is None


def test_years_are_the_owners_to_set(owner_client: Client, known: Known) -> None:
    pk = known.customer.pk
    page = reverse("forgetting_years", args=[pk])
    assert owner_client.post(page, {"years": "99"}).status_code == 422
    assert owner_client.post(page, {"years": "6"}).status_code == 303
    assert House.objects.get().names_kept_years == 6


def test_what_was_asked_under_the_same_address_goes_along(
    known: Known, owner: User, now: datetime
) -> None:
    asked_before(owner, now, contact=f"Zeb <{MAIL.upper()}>", wishes="a green blade")
    asked_before(owner, now, contact=f"x{MAIL}", wishes="somebody else's")
    file = io.BytesIO()
    write_own_data(file, known.customer, the_house(), now)
    given = zipfile.ZipFile(file)
    data = json.loads(given.read("data.json"))
    found = data["enquiries under the same mail address"]
    assert [row["wishes"] for row in found] == ["a green blade"]
    assert any(name.startswith("files/asked-before-") for name in given.namelist())


def test_page_shows_what_was_asked_before(
    known: Known, owner: User, owner_client: Client, now: datetime
) -> None:
    page = reverse("forgetting_data", args=[known.customer.pk])
    assert "Asked before anybody knew them" not in owner_client.get(page).text
    stray = asked_before(owner, now, contact=MAIL, wishes="a green blade")
    text = owner_client.get(page).text
    assert "Asked before anybody knew them" in text
    assert reverse("desk_enquiry", args=[stray.pk]) in text


# The page, to whom it is about


EVERY = [held for held in (OWN, *HELD) if held.shown]


@pytest.mark.parametrize("held", EVERY, ids=lambda held: held.shown)
def test_every_table_and_column_has_words_for_people(held: Held, house: House) -> None:
    assert held.shown in TABLES
    bare = [
        field.name for field in fields_read(columns_of(held, house).fields) if not is_worded(field)
    ]
    assert bare == []


def read(customer: Customer, now: datetime) -> str:
    file = io.BytesIO()
    write_own_data(file, customer, the_house(), now)
    return zipfile.ZipFile(file).read("read-me-first.html").decode()


def test_page_speaks_the_customers_language_to_its_cells(
    known: Known, owner: User, now: datetime
) -> None:
    Customer.objects.update(language="de")
    Message.objects.filter(customer=known.customer).update(body="Hallo\n\nIhre Seite: $link")
    known.customer.refresh_from_db()
    check_cell(known.build, owner, now, millivolts=3710)
    page = read(known.customer, now)
    cells = dict(re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", page, re.S))
    with override("de"):
        assert cells[gettext("voltage")] == "3,71\u202fV"
        assert cells[gettext("you may see it on your page")] in {gettext("yes"), gettext("no")}
        assert f"<h2>{capfirst(gettext('looks at the battery'))}</h2>" in page
    assert cells["Sprache"] == "Deutsch"
    for raw in ("_", "millivolts", "False", "True", "blob", "came by", "cell checks"):
        assert not any(raw in word for word in cells), raw
    assert not re.search(r"<dd>(True|False|\d{4}-\d\d-\d\d.*?)</dd>", page)
    assert "0001" in page
    assert "$link" not in page


def test_file_for_programs_keeps_its_own_names(given: zipfile.ZipFile) -> None:
    data = json.loads(given.read("data.json"))
    assert {"build_id", "taken_at", "shared"} <= data["photos"][0].keys()
