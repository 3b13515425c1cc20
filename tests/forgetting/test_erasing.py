"""Forgetting a customer: what goes, what stays, what stands against it."""

import json
import os
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.management import call_command
from django.db import DatabaseError, transaction
from django.test import Client
from django.urls import reverse

from builds.forgetting.actions.erasing import Refused, erase
from builds.forgetting.actions.unnaming import drop_names
from builds.forgetting.queries.obstacles import obstacles
from builds.forgetting.reach import HELD
from builds.progress.models import Build
from builds.progress.states import State
from shop.append_only import maintenance
from shop.files.actions import sweep_orphans
from shop.files.models import Blob, Rendition
from shop.keeping.actions import doing
from shop.keeping.actions.erased import read_list
from shop.keeping.models import Export
from shop.keeping.queries import export_file
from shop.models import Customer, Entry, House, Invoice, Message, Order, Quote, User
from shop.orders.models import Answer
from tests.forgetting.conftest import CALLED, MAIL, MARKS, NAME, Known, asked_before
from tests.handover.making import announced
from tests.keeping.places import every_row
from tests.visitor import making

pytestmark = pytest.mark.django_db(transaction=True)


def _standing() -> Iterator[tuple[str, str]]:
    """Tables and columns in which the customer can still be read."""
    for table, rows in every_row().items():
        for row in rows:
            for column, value in row.items():
                said = json.dumps(value, default=str, ensure_ascii=False)
                if any(mark in said for mark in MARKS):
                    yield table, column


def _forget(known: Known, owner: User, now: datetime) -> Customer:
    return erase(known.customer.pk, typed=NAME, by=owner, now=now)


def test_name_stands_everywhere_before(known: Known) -> None:
    tables = {table for table, _ in _standing()}
    assert len(tables) >= 15
    assert {"shop_customer", "shop_message", "shop_invoice", "builds_parcel"} <= tables


def test_only_the_books_name_them_after(known: Known, owner: User, now: datetime) -> None:
    _forget(known, owner, now)
    names = {held.model.lower(): set(held.later) for held in HELD if held.later}
    books = {(f"shop_{model}", column) for model, columns in names.items() for column in columns}
    assert set(_standing()) <= books
    assert ("shop_invoice", "buyer") in set(_standing())


def test_nothing_names_them_when_the_years_are_over(
    known: Known, owner: User, now: datetime
) -> None:
    House.objects.update(names_kept_years=7)
    gone = _forget(known, owner, now)
    assert gone.named_until is not None
    assert gone.named_until.year == now.year + 7
    assert drop_names(now + timedelta(days=7 * 365 - 5)) == 0
    assert drop_names(now + timedelta(days=7 * 366)) == 1
    assert list(_standing()) == []
    assert drop_names(now + timedelta(days=8 * 366)) == 0


def test_books_stay(known: Known, owner: User, now: datetime) -> None:
    before = {model: model.objects.count() for model in (Order, Build, Invoice, Quote, Answer)}
    _forget(known, owner, now)
    assert {model: model.objects.count() for model in before} == before
    assert Invoice.objects.get().number == "R-1"


def test_photos_are_gone_from_the_disk(
    known: Known, owner: User, here: Path, now: datetime
) -> None:
    assert Blob.objects.exists()
    _forget(known, owner, now)
    assert not Blob.objects.exists()
    assert not Rendition.objects.exists()
    sweep_orphans(now + timedelta(days=365 * 30))
    kept = [path for path in (here / "media").rglob("*") if path.is_file()]
    assert kept == []


def test_files_leave_the_disk_at_once_but_those_of_the_last_day(
    known: Known, owner: User, here: Path, now: datetime
) -> None:
    old, young = _originals(here)[0], _originals(here)[1:]
    before = (now - timedelta(days=2)).timestamp()
    os.utime(old, (before, before))
    for path in young:
        os.utime(path, (now.timestamp(), now.timestamp()))
    _forget(known, owner, now)
    sweep_orphans(now)  # woken by the erasing
    assert _originals(here) == young
    sweep_orphans(now + timedelta(days=2))
    assert _originals(here) == []


def _originals(here: Path) -> list[Path]:
    return sorted(path for path in (here / "media/originals").rglob("*") if path.is_file())


def test_export_that_holds_them_is_taken_away(
    known: Known, owner: User, proven_client: Client, now: datetime
) -> None:
    done = Export.objects.create(
        token=uuid4(), asked_at=now, asked_by=owner, begun_at=now, done_at=now, size=9
    )
    writing = Export.objects.create(token=uuid4(), asked_at=now, asked_by=owner, begun_at=now)
    waits = Export.objects.create(token=uuid4(), asked_at=now, asked_by=owner)
    export_file(done).parent.mkdir(parents=True, exist_ok=True)
    export_file(done).write_text(NAME)
    page = proven_client.get(reverse("forgetting_data", args=[known.customer.pk]))
    assert "they are taken away with it" in page.content.decode()
    _forget(known, owner, now)
    assert not export_file(done).exists()
    fetched = proven_client.get(reverse("keeping_export_fetch", args=[done.pk]))
    assert fetched.status_code == 404
    gone = Export.objects.filter(gone_at=now).values_list("pk", flat=True)
    assert set(gone) == {done.pk, writing.pk}
    assert waits.pk not in gone


def test_export_that_was_withdrawn_while_it_was_written_is_not_kept(
    known: Known, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = Export.objects.create(token=uuid4(), asked_at=now, asked_by=owner)

    def meanwhile(target: Path, _now: datetime) -> None:
        _forget(known, owner, now)
        target.write_text(NAME)

    monkeypatch.setattr(doing, "export_everything", meanwhile)
    doing.do_all(lambda: now)
    one.refresh_from_db()
    assert one.gone_at == now
    assert not export_file(one).exists()


def test_page_says_of_each_table_what_becomes_of_it(
    known: Known, owner: User, owner_client: Client, now: datetime
) -> None:
    page = owner_client.get(reverse("forgetting_data", args=[known.customer.pk])).content.decode()
    goes, stays = page.split("<dt>stays</dt>")
    assert "what they asked for" not in goes
    assert "with what was to be done" in stays
    wanted = known.build.item.wanted
    _forget(known, owner, now)
    known.build.item.refresh_from_db()
    assert bool(known.build.item.wanted) is bool(wanted)


def test_photo_that_somebody_else_has_too_stays(known: Known, owner: User, now: datetime) -> None:
    other = making.build(
        making.order(making.customer(now, email="o@example.com"), now, "2026-032"),
        owner, now, hilt="Saltmere",
    )  # fmt: skip
    same = making.photo(other, owner, now, shared=False)
    assert same.blob_id == known.photo.blob_id
    _forget(known, owner, now)
    assert list(Blob.objects.all()) == [same.blob]


def test_nobody_else_loses_a_word(known: Known, owner: User, now: datetime) -> None:
    other = making.customer(now, called="Ottilie", full_name="Ottilie Fenn", note="tall")
    Message.objects.create(
        key="other", occasion="free", to="o@example.com", subject="s", body="Ottilie, it is ready",
        message_id="o", customer=other, state="sent", made_at=now, not_before=now,
    )  # fmt: skip
    _forget(known, owner, now)
    other.refresh_from_db()
    assert (other.full_name, other.note) == ("Ottilie Fenn", "tall")
    assert Message.objects.get(key="other").body == "Ottilie, it is ready"
    assert "has heard nothing" in Message.objects.get(key="morning").body


def test_private_link_opens_nothing_any_more(
    known: Known, owner: User, stranger: Client, now: datetime
) -> None:
    address = reverse("visitor_order", args=[making.token(known.link)])
    assert stranger.get(address).status_code == 200
    _forget(known, owner, now)
    assert stranger.get(address).status_code == 404


def test_history_says_that_and_no_name(known: Known, owner: User, now: datetime) -> None:
    about = f"customer:{known.customer.pk}"
    with maintenance():
        Entry.objects.create(verb="x", about=about, parameters={"who": NAME}, at=now)
    _forget(known, owner, now)
    told = Entry.objects.filter(about=about).values_list("verb", "parameters")
    assert list(told) == [("x", {"who": "…"}), ("customer_erased", {})]


def test_second_tap_changes_nothing(known: Known, owner: User, now: datetime) -> None:
    first = _forget(known, owner, now)
    second = erase(known.customer.pk, typed="", by=owner, now=now + timedelta(days=1))
    assert second.erased_at == first.erased_at
    assert Entry.objects.filter(verb="customer_erased").count() == 1


def test_another_name_erases_nobody(known: Known, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="That is not the name"):
        erase(known.customer.pk, typed=CALLED, by=owner, now=now)
    assert Customer.objects.get(pk=known.customer.pk).full_name == NAME


def test_open_build_stands_against_it(known: Known, owner: User, now: datetime) -> None:
    Build.objects.update(state=State.BOOKED)
    said = [each.sentence for each in obstacles(known.customer)]
    assert said == [f"Build {known.build} is open: booked."]
    with pytest.raises(Refused, match="stands against it"):
        _forget(known, owner, now)


def test_open_money_stands_against_it(known: Known) -> None:
    with maintenance():
        Invoice.objects.update(gross_minor=9500, net_minor=9500)
    assert [e.sentence for e in obstacles(known.customer)] == [
        "Order 2026-031 is not paid in full."
    ]


def test_open_return_stands_against_it(known: Known, now: datetime) -> None:
    found = announced(known.build, now)
    assert [e.sentence for e in obstacles(known.customer)] == [
        f"{found} is announced back and not decided to its end."
    ]


def test_it_happens_wholly_or_not_at_all(
    known: Known, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = every_row()

    def fails(*args: object, **kwargs: object) -> None:
        raise OSError("the plug is out")

    monkeypatch.setattr("builds.forgetting.actions.erasing.record", fails)
    with pytest.raises(OSError, match="plug"):
        _forget(known, owner, now)
    assert every_row() == before


def test_tables_are_shut_again_after(known: Known, owner: User, now: datetime) -> None:
    _forget(known, owner, now)
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Answer.objects.update(text="else")


def test_list_beside_the_back_ups_holds_no_name(
    known: Known, owner: User, here: Path, now: datetime
) -> None:
    (here / "backups").mkdir()
    gone = _forget(known, owner, now)
    for folder in (here, here / "backups"):
        (listed,) = read_list(folder)
        assert (listed.pk, listed.since) == (gone.pk, gone.since)
        content = (folder / "erased.json").read_text()
        assert not any(mark in content for mark in MARKS)


def test_restore_brings_nobody_back(
    known: Known, owner: User, here: Path, now: datetime, capsys: pytest.CaptureFixture[str]
) -> None:
    gone = _forget(known, owner, now)
    # The database of an older back-up: they are here as they were.
    Customer.objects.filter(pk=gone.pk).update(
        called=CALLED, full_name=NAME, erased_at=None, named_until=None
    )
    call_command("erase_again", here)
    assert "Erased again, as they had asked: 1." in capsys.readouterr().out
    again = Customer.objects.get(pk=gone.pk)
    assert again.erased_at
    assert again.named_until == gone.named_until
    assert not [each for each in _standing() if each[0] == "shop_customer"]


def test_list_of_another_shop_erases_nobody(
    known: Known, owner: User, here: Path, now: datetime
) -> None:
    row = {"id": known.customer.pk, "since": "2020-01-01T00:00:00+00:00",
           "erased_at": now.isoformat(), "named_until": "2036-01-01"}  # fmt: skip
    (here / "erased.json").write_text(json.dumps([row]))
    call_command("erase_again", here)
    assert Customer.objects.get(pk=known.customer.pk).erased_at is None


def test_what_they_asked_before_anybody_knew_them_goes_too(
    known: Known, owner: User, now: datetime
) -> None:
    stray = asked_before(owner, now, contact=f"{MAIL}, evenings", wishes=f"For {NAME}")
    other = asked_before(owner, now, contact=f"another-{MAIL}", wishes="a blade")
    _forget(known, owner, now)
    stray.refresh_from_db()
    assert (stray.called, stray.contact, stray.wishes) == ("", "", "")
    assert not stray.photos.exists()
    other.refresh_from_db()
    assert other.contact == f"another-{MAIL}"
    assert other.photos.exists()
