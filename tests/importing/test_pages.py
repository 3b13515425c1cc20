"""The pages: from the file to rows in the books and back, as the owner clicks through."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from builds.importing.actions import checking, keeping, undoing
from builds.importing.columns import example
from builds.importing.models import Import
from builds.importing.states import State
from shop.people.models import Customer
from tests.importing.sheets import fresh, xlsx

pytestmark = pytest.mark.django_db


def choose(
    client: Client, content: bytes, kind: str = "customers", name: str = "mine.xlsx"
) -> Import:
    file = SimpleUploadedFile(name, content)
    answer = client.post(reverse("importing_start"), {"token": uuid4(), "kind": kind, "file": file})
    assert answer.status_code == 303, answer.content.decode()
    return Import.objects.latest("pk")


def match(client: Client, one: Import, **more: str) -> None:
    columns = {f"c_{name}": source["column"] for name, source in one.mapping.items()}
    how = {"doubles": "stop", "decimals": "point", "day_order": "dmy", "length_unit": "mm"}
    answer = client.post(
        reverse("importing_match", args=[one.pk]), {"seen": one.stamp, **how, **columns, **more}
    )
    assert answer.status_code == 303, answer.content.decode()


def page(client: Client, one: Import) -> str:
    answer = client.get(reverse("importing_one", args=[one.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_from_the_file_to_the_books_and_back(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, example("customers"))
    looked = owner_client.get(reverse("importing_match", args=[one.pk])).content.decode()
    assert "Wren Aldous" in looked
    match(owner_client, one)
    assert "Every row is being checked" in page(owner_client, one)
    checking.check(one.pk, now)
    assert "Every row is right" in page(owner_client, one)
    owner_client.post(reverse("importing_confirm", args=[one.pk]), {"seen": fresh(one).stamp})
    assert "It is being brought in" in page(owner_client, one)
    keeping.keep(one.pk, now)
    assert "Take it back" in page(owner_client, one)
    assert Customer.objects.count() == 3
    owner_client.post(reverse("importing_take_back", args=[one.pk]))
    undoing.undo(one.pk, now)
    assert "Taken back" in page(owner_client, one)
    assert not Customer.objects.exists()


def test_problems_are_shown_by_row_and_column(owner_client: Client, now: datetime) -> None:
    one = choose(
        owner_client, xlsx([["Name", "E-mail"], ["Wren", "wren at example"], ["Ines", ""]])
    )
    match(owner_client, one)
    checking.check(one.pk, now)
    shown = page(owner_client, one)
    assert "1 problem" in shown
    assert "wren at example" in shown
    assert "This is no e-mail address" in shown
    text = owner_client.get(reverse("importing_problems", args=[one.pk])).content.decode()
    assert "2,B,E-mail,wren at example" in text


def test_corrected_file_is_checked_with_the_same_columns(
    owner_client: Client, now: datetime
) -> None:
    one = choose(owner_client, xlsx([["Name", "E-mail"], ["Wren", "wren at example"]]))
    match(owner_client, one)
    checking.check(one.pk, now)
    file = SimpleUploadedFile("mine.xlsx", xlsx([["Name", "E-mail"], ["Wren", "w@example.com"]]))
    seen = fresh(one).stamp
    owner_client.post(reverse("importing_corrected", args=[one.pk]), {"seen": seen, "file": file})
    assert fresh(one).state == State.CHECKING
    checking.check(one.pk, now)
    assert fresh(one).is_clean


def test_a_file_that_is_no_sheet_is_refused_beside_the_field(owner_client: Client) -> None:
    file = SimpleUploadedFile("photo.xlsx", b"\xff\xd8\xff\xe0" + bytes(range(256)) * 40)
    asked = {"token": uuid4(), "kind": "customers", "file": file}
    answer = owner_client.post(reverse("importing_start"), asked)
    assert answer.status_code == 422
    assert "This is no spreadsheet" in answer.content.decode()
    assert not Import.objects.exists()


def test_needed_field_without_a_column_is_asked_for(owner_client: Client) -> None:
    one = choose(owner_client, xlsx([["What", "Name"], ["speaker", "a"]]), "parts")
    asked = {"seen": one.stamp, "decimals": "point", "length_unit": "mm", "doubles": "stop"}
    answer = owner_client.post(reverse("importing_match", args=[one.pk]), {**asked, "c_name": "1"})
    assert answer.status_code == 422
    assert "This is needed" in answer.content.decode()


def test_polling_answers_with_the_part_alone(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, example("customers"))
    match(owner_client, one)
    answer = owner_client.get(
        reverse("importing_one", args=[one.pk]),
        headers={"HX-Request": "true", "HX-Target": "import"},
    ).content.decode()
    assert answer.startswith('<div id="import"')
    assert "<html" not in answer


@pytest.mark.parametrize("kind", ["customers", "orders", "parts", "stock"])
def test_example_is_downloaded(owner_client: Client, kind: str) -> None:
    answer = owner_client.get(reverse("importing_example", args=[kind]))
    assert answer.status_code == 200
    assert answer.content[:2] == b"PK"


def test_no_cell_of_the_problems_is_a_formula(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, xlsx([["Name", "E-mail"], ["Wren", "@SUM(1+1)*cmd"]]))
    match(owner_client, one)
    checking.check(one.pk, now)
    text = owner_client.get(reverse("importing_problems", args=[one.pk])).content.decode()
    assert ",'@SUM(1+1)*cmd," in text


def test_a_wrong_value_for_all_rows_is_said_once(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, xlsx([["Name", "E-mail"], ["Wren", ""], ["Ines", ""]]))
    match(owner_client, one, f_country="Atlantis")
    checking.check(one.pk, now)
    assert list(fresh(one).findings.values_list("row", "field")) == [(0, "country")]
    assert "every" in page(owner_client, one)


def test_another_sheet_and_row_of_headings_are_chosen(owner_client: Client) -> None:
    people = [["Our people"], ["Name", "E-mail"], ["Wren", "w@example.com"]]
    one = choose(owner_client, xlsx([["Part"], ["speaker"]], people, titles=["parts", "people"]))
    given = {"seen": one.stamp, "sheet": "people", "header_row": 2}
    owner_client.post(reverse("importing_reading", args=[one.pk]), given)
    shown = owner_client.get(reverse("importing_match", args=[one.pk])).content.decode()
    assert "A · Name: Wren" in shown
    assert fresh(one).mapping == {"full_name": {"column": 0}, "email": {"column": 1}}


def test_separator_and_characters_are_chosen(owner_client: Client) -> None:
    one = choose(owner_client, "Name;E-mail\nWren;w@example.com\n".encode("utf-16"), name="a.csv")
    assert (fresh(one).encoding, fresh(one).delimiter) == ("utf-16", ";")
    given = {"seen": one.stamp, "delimiter": "tab", "encoding": "utf-16", "header_row": 1}
    owner_client.post(reverse("importing_reading", args=[one.pk]), given)
    assert fresh(one).headers == ["Name;E-mail"]
    wrong = {"seen": fresh(one).stamp, "delimiter": "tab", "encoding": "utf-8", "header_row": 1}
    answer = owner_client.post(reverse("importing_reading", args=[one.pk]), wrong, follow=True)
    assert "Choose others" in answer.content.decode()


def test_the_other_tablet_is_told_and_nothing_changes(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, example("customers"))
    match(owner_client, one)
    checking.check(one.pk, now)
    late = {"seen": one.stamp, "c_full_name": "0", "doubles": "stop"}
    answer = owner_client.post(reverse("importing_match", args=[one.pk]), late, follow=True)
    assert "nothing was changed" in answer.content.decode()
    assert fresh(one).state == State.CHECKED


def test_what_stands_in_the_way_is_listed(owner_client: Client, now: datetime) -> None:
    one = choose(owner_client, example("customers"))
    match(owner_client, one)
    checking.check(one.pk, now)
    owner_client.post(reverse("importing_confirm", args=[one.pk]), {"seen": fresh(one).stamp})
    keeping.keep(one.pk, now)
    wren = Customer.objects.get(called="Wren")
    wren.hilts.create(name="Quiet Harbour", since=now)
    answer = owner_client.post(reverse("importing_take_back", args=[one.pk]))
    assert answer.status_code == 422
    assert "The customer of this row has a hilt by now." in answer.content.decode()


def test_bench_and_stranger_see_nothing_of_it(bench_client: Client, stranger: Client) -> None:
    for name in ("importing_start", "importing_example"):
        args = ["parts"] if name == "importing_example" else []
        assert bench_client.get(reverse(name, args=args)).status_code == 403
        assert stranger.get(reverse(name, args=args)).status_code == 302
    assert "Bring in" not in bench_client.get(reverse("bench_today")).content.decode()
