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
from shop.keeping.plain import Columns, all_rows, cells, exported, is_money, shown_name
from shop.keeping.read_me import read_me
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
        _write_text(into, "README.txt", read_me(counts, missing, shop, now))
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
