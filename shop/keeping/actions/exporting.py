"""Writes everything out as files that open without this tool: CSV, JSON and the photos.

The rows are those of one moment, however much is written meanwhile; the files come after, because
a file is there before its row is.
"""

import csv
import io
import json
import shutil
import tempfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.files.storage import default_storage
from django.db.models import Model

from shop.files.models import Blob
from shop.files.queries import file_ending, original_name
from shop.house.queries import house
from shop.keeping import place, rows
from shop.keeping.plain import (
    LEFT_OUT,
    Columns,
    all_rows,
    cells,
    explained,
    exported,
    is_money,
    shown_name,
)
from shop.keeping.sinks import Sink, sink


def export_everything(target: Path, now: datetime) -> dict[str, int]:
    """Write everything into a new folder or zip; how many rows of each kind."""
    shop = house()
    with sink(target) as into:
        with rows.snapshot(place.DEFAULT):
            counts = {
                model.__name__: _write_model(into, model, shop.zone, shop.currency)
                for model in exported()
            }
            blobs = list(Blob.objects.order_by("pk"))
        missing = [name for blob in blobs if (name := write_file(into, blob, "files"))]
        _write_text(into, "README.txt", read_me(counts, missing, shop.zone, shop.currency, now))
    return counts


def _write_model(into: Sink, model: type[Model], zone: ZoneInfo, currency: str) -> int:
    columns = Columns(model, zone, currency)
    found = (columns.values(row) for row in all_rows(model, place.DEFAULT))
    if model is Blob:
        found = ({**row, "file": f"files/{_name(row)}"} for row in found)
    return write_rows(into, model.__name__, columns, found)


def _name(row: dict[str, Any]) -> str:
    return f"{row['sha256'][:20]}.{file_ending(row['media_type'])}"


def write_rows(into: Sink, name: str, columns: Columns, found: Iterator[dict[str, Any]]) -> int:
    """Write rows as JSON and as CSV; how many.

    A row is read once; a zip takes one file at a time, so the CSV waits in a nameless file.
    """
    money = {shown_name(field) for field in columns.fields if is_money(field)}
    count = 0
    with tempfile.TemporaryFile() as spare:
        table = io.TextIOWrapper(spare, encoding="utf-8", newline="", write_through=True)
        writer = csv.writer(table)
        with into.open(f"json/{name}.json") as file:
            file.write(b"[")
            for count, row in enumerate(found, start=1):
                if count == 1:
                    writer.writerow(row)
                file.write(b",\n" if count > 1 else b"\n")
                file.write(json.dumps(row, ensure_ascii=False).encode())
                writer.writerow(cells(row, money))
            file.write(b"\n]\n")
        if not count:
            writer.writerow(columns.names)
        table.detach()
        spare.seek(0)
        with into.open(f"csv/{name}.csv") as file:
            shutil.copyfileobj(spare, file)
    return count


def write_file(into: Sink, blob: Blob, folder: str, name: str = "") -> str:
    """Write a file as it came; what it is called, where its bytes are gone."""
    known = {"sha256": blob.sha256, "media_type": blob.media_type}
    target = f"{folder}/{name or _name(known)}"
    original = original_name(blob.sha256)
    if not default_storage.exists(original):
        return target
    with default_storage.open(original) as source, into.open(target) as file:
        shutil.copyfileobj(source, file)
    return ""


def _write_text(into: Sink, name: str, text: str) -> None:
    with into.open(name) as file:
        file.write(text.encode())


def read_me(
    counts: dict[str, int], missing: list[str], zone: ZoneInfo, currency: str, now: datetime
) -> str:
    """What lies in an export, for somebody who has never seen this tool."""
    told = [
        f"{name}: {counts[name]:,} rows\n    {explained(model)}\n    "
        f"{', '.join(Columns(model, zone, currency).names)}\n"
        for model in exported()
        if (name := model.__name__) in counts
    ]
    lost = ["", "Rows whose file was gone already:", *missing] if missing else []
    left = [f"{name}: {why}." for name, why in LEFT_OUT.items()]
    head = READ_ME.format(made=f"{now.astimezone(zone):%Y-%m-%d %H:%M} ({zone.key})",
                          currency=currency)  # fmt: skip
    return "\n".join([head, *told, "LEFT OUT", *left, *lost, ""])


READ_ME = """\
EVERYTHING THAT THE SHOP HAS KEPT
Written on {made}.

It holds what customers told you. Keep it as you keep the shop's books.

csv/     a table each, to open in any spreadsheet: UTF-8, commas, the headings in the first row
json/    the same rows as JSON, for programs
files/   photos, films, sounds and papers byte for byte as they came

HOW TO READ IT
- A column that ends in _id names a row of another table by its number. Photo has build_id, which
  is the row of Build with that id, and blob_id, which is the row of Blob; Blob says in its column
  "file" which file in files/ that is.
- Sums of money are decimals, and the column "currency" beside them says of which money
  ({currency} where nothing else stands there). Inside of figures that are kept as JSON, what ends
  in "minor" is in the smallest coin.
- What ends in _hundredths is in hundredths (2000 is 20), what ends in _thousandths in thousandths.
  _mm are millimetres, _minutes minutes, _ms and _s milliseconds and seconds.
- Times are ISO 8601 with the distance from UTC, in the shop's zone.
- In CSV an empty cell is nothing, yes and no are yes and no. Where somebody's words begin with
  = + - @ or a tab, a ' stands before them, so that no spreadsheet takes them for a formula; the
  JSON has them as they were typed.
- Not written out: passwords, codes and keys, and columns that serve finding alone.

THE TABLES
"""
