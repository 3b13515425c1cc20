"""Everything written out: every model is in it or said why not, and it opens without this tool."""

import csv
import io
import json
import re
import zipfile
from datetime import datetime
from pathlib import Path
from uuid import uuid4

import pytest
from django.apps import apps
from django.core.management import call_command

from builds.progress.models import Build
from shop.files.models import Blob
from shop.keeping.actions import Refused
from shop.keeping.actions.exporting import export_everything
from shop.keeping.plain import LEFT_OUT, cell, exported, is_shown
from shop.keeping.rows import APPS
from shop.models import Customer, House, User
from shop.orders.actions.payments import pay
from tests.keeping.places import every_row

pytestmark = pytest.mark.django_db(transaction=True)
OURS = [model for app in APPS for model in apps.get_app_config(app).get_models()]
# What opens a door, by whatever name; a new column of such a kind is asked about here.
DOORS = re.compile(r"passw|secret|pin$|token|key|credential|seed|recovery|challenge")
# Columns that only sound like it.
HARMLESS = {"keeps_deposit"}


@pytest.fixture
def written(build: Build, tmp_path: Path, now: datetime) -> zipfile.ZipFile:
    export_everything(tmp_path / "all.zip", now)
    return zipfile.ZipFile(tmp_path / "all.zip")


def _table(written: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    text = written.read(f"csv/{name}.csv").decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_model_is_in_it_or_said_why_not() -> None:
    shown = {model.__name__ for model in exported()}
    assert shown | LEFT_OUT.keys() == {model.__name__ for model in OURS}
    assert shown & LEFT_OUT.keys() == set()
    assert all(LEFT_OUT.values())


def test_no_two_models_share_a_file() -> None:
    assert len({model.__name__ for model in OURS}) == len(OURS)


def test_what_opens_a_door_is_not_in_it() -> None:
    columns = [
        (model.__name__, field.attname)
        for model in exported()
        for field in model._meta.concrete_fields
        if is_shown(field)
    ]
    assert [each for each in columns if DOORS.search(each[1]) and each[1] not in HARMLESS] == []
    assert ("User", "email") in columns


def test_every_row_is_in_both_forms(written: zipfile.ZipFile) -> None:
    rows = every_row()
    for model in exported():
        count = len(rows[model._meta.db_table])
        assert len(json.loads(written.read(f"json/{model.__name__}.json"))) == count
        assert len(_table(written, model.__name__)) == count


def test_read_me_explains_each_table(written: zipfile.ZipFile) -> None:
    text = written.read("README.txt").decode()
    for model in exported():
        assert f"\n{model.__name__}: " in text
    for name in LEFT_OUT:
        assert f"\n{name}: " in text


def test_read_me_speaks_as_the_shop_does(build: Build, tmp_path: Path, now: datetime) -> None:
    House.objects.update(language="de")
    export_everything(tmp_path / "all.zip", now)
    text = zipfile.ZipFile(tmp_path / "all.zip").read("README.txt").decode()
    assert text.startswith("ALLES, WAS DIE WERKSTATT GESPEICHERT HAT\nGeschrieben am ")
    assert "steht auf Englisch da." in " ".join(text.split())
    assert max(len(line) for line in text.partition("DIE TABELLEN")[0].split("\n")) <= 100


def test_photos_are_there_byte_for_byte(written: zipfile.ZipFile, here: Path) -> None:
    for row, blob in zip(_table(written, "Blob"), Blob.objects.order_by("pk"), strict=True):
        original = here / "media" / "originals" / blob.sha256[:2] / blob.sha256
        assert written.read(row["file"]) == original.read_bytes()


def test_money_is_decimal_with_its_currency(
    build: Build, owner: User, tmp_path: Path, now: datetime
) -> None:
    House.objects.update(currency="GBP")
    facts = {"token": uuid4(), "by": owner, "now": now}
    pay(build.item.order, "payment", 9500, "cash", "", now.date(), **facts)
    export_everything(tmp_path / "all.zip", now)
    row = _table(zipfile.ZipFile(tmp_path / "all.zip"), "Payment")[0]
    assert (row["amount"], row["currency"]) == ("95.00", "GBP")


def test_times_carry_their_zone(build: Build, tmp_path: Path, now: datetime) -> None:
    House.objects.update(zone_name="Pacific/Auckland")
    export_everything(tmp_path / "all.zip", now)
    said = _table(zipfile.ZipFile(tmp_path / "all.zip"), "Customer")[0]["since"]
    assert datetime.fromisoformat(said) == Customer.objects.get().since
    assert said.endswith(("+13:00", "+12:00"))


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_of_others_is_a_formula(
    build: Build, tmp_path: Path, now: datetime, sign: str
) -> None:
    words = f"{sign}HYPERLINK(1)"
    Customer.objects.update(note=words)
    export_everything(tmp_path / "all.zip", now)
    zipped = zipfile.ZipFile(tmp_path / "all.zip")
    assert _table(zipped, "Customer")[0]["note"] == f"'{words}"
    assert json.loads(zipped.read("json/Customer.json"))[0]["note"] == words


@pytest.mark.parametrize(
    ("value", "said"), [(-5, "-5"), (None, ""), (True, "yes"), ({"a": "é"}, '{"a": "é"}')]
)
def test_cells_of_our_own_stay_as_they_are(value: object, said: str) -> None:
    assert cell(value) == said


def test_folder_holds_the_same(build: Build, tmp_path: Path, now: datetime) -> None:
    export_everything(tmp_path / "all.zip", now)
    call_command("export", str(tmp_path / "all"))
    folder = tmp_path / "all"
    files = {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}
    assert files == set(zipfile.ZipFile(tmp_path / "all.zip").namelist())


def test_nothing_is_written_over(build: Build, tmp_path: Path, now: datetime) -> None:
    (tmp_path / "mine").write_text("mine")
    with pytest.raises(Refused, match="is not empty"):
        export_everything(tmp_path, now)
    (tmp_path / "all.zip").write_text("mine")
    with pytest.raises(Refused, match="there already"):
        export_everything(tmp_path / "all.zip", now)


def test_file_that_is_gone_is_named(
    build: Build, here: Path, tmp_path: Path, now: datetime
) -> None:
    blob = Blob.objects.earliest("pk")
    (here / "media" / "originals" / blob.sha256[:2] / blob.sha256).unlink()
    export_everything(tmp_path / "all.zip", now)
    text = zipfile.ZipFile(tmp_path / "all.zip").read("README.txt").decode()
    assert f"files/{blob.sha256[:20]}" in text
