"""A customer's own data, as one file: a page to read, the same as JSON, and the files."""

import json
import shutil
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import IO, Any

from django.contrib.auth.base_user import AbstractBaseUser
from django.core.files.storage import default_storage
from django.db.models import Model
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from builds.forgetting.queries.held import model_of, rows_of
from builds.forgetting.queries.readable import links_of, to_read
from builds.forgetting.queries.strays import strays
from builds.forgetting.reach import HELD, OWN, Held
from builds.forgetting.words import TABLES
from shop.files.models import Blob
from shop.files.queries import file_ending, original_name
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.keeping.plain import Columns
from shop.orders.models import Enquiry, EnquiryPhoto
from shop.people.models import Customer

# Figures of the shop's own, which say nothing of the customer.
ASKED_BEFORE = "enquiries under the same mail address"
_SHOPS = ("minutes_so_far", "ceiling", "discount_hundredths", "tries", "position", "leased_until")


def write_own_data(into: IO[bytes], customer: Customer, shop: House, now: datetime) -> int:
    """Write the zip; how many files are in it beside the page and the JSON."""
    with speaking_as(shop, customer.language):
        return _write_zip(into, customer, shop, now)


def _write_zip(into: IO[bytes], customer: Customer, shop: House, now: datetime) -> int:
    found = [_table(OWN.shown, OWN, [customer], shop)]
    for held in HELD:
        if held.shown:
            found.append(_table(held.shown, held, _rows_of(held, customer.pk), shop))
    before = strays(customer)
    (enquiries,) = (held for held in HELD if held.model == "Enquiry")
    found.append(_table(ASKED_BEFORE, enquiries, before, shop))
    tables = {table.name: table.plain for table in found}
    with zipfile.ZipFile(into, "w") as zipped:
        files = [*_write_files(zipped, customer.pk), *_write_photos(zipped, before)]
        tables["files"] = [{"name": name} for name in files]
        zipped.writestr("data.json", json.dumps(tables, ensure_ascii=False, indent=1))
        named = [[(_("file"), name)] for name in files]
        read = [*((table.name, table.read) for table in found), ("files", named)]
        page = {"tables": _headed(read), "shop": shop, "customer": customer, "now": now}
        zipped.writestr("read-me-first.html", render_to_string("forgetting/own_data.html", page))
    return len(files)


@dataclass(frozen=True)
class Table:
    """The rows of a table, for programs and for people."""

    name: str
    plain: list[dict[str, Any]]
    read: list[list[tuple[str, str]]]


def _table(name: str, held: Held, rows: Iterable[Model], shop: House) -> Table:
    columns, plain, read = columns_of(held, shop), [], []
    for row in rows:
        plain.append(columns.values(row))
        read.append(to_read(row, columns.fields, shop))
    return Table(name, plain, read)


def columns_of(held: Held, shop: House) -> Columns:
    """The columns of a table without what is about the staff or the shop alone."""
    model = model_of(held) if held is not OWN else Customer
    columns = Columns(model, shop.zone, shop.currency)
    columns.fields = [field for field in columns.fields if not _is_the_shops(field)]
    return columns


def _rows_of(held: Held, customer_id: int) -> Iterator[Model]:
    links = links_of(list(model_of(held)._meta.concrete_fields))
    found = rows_of(held, customer_id).select_related(*links)
    return found.order_by("pk").iterator(500)


def _is_the_shops(field: Any) -> bool:
    related = field.related_model if field.is_relation else None
    is_staff = related is not None and issubclass(related, AbstractBaseUser)
    return is_staff or field.attname.startswith(_SHOPS)


def _write_files(zipped: zipfile.ZipFile, customer_id: int) -> Iterator[str]:
    """Every file that is linked to them, once, under the name of what it is."""
    written: set[int] = set()
    for held in HELD:
        for link in held.files:
            ids = rows_of(held, customer_id).exclude(**{link: None}).values_list(link, flat=True)
            for blob in Blob.objects.filter(pk__in=set(ids) - written).order_by("pk"):
                written.add(blob.pk)
                name = f"files/{held.model.lower()}-{blob.pk}.{file_ending(blob.media_type)}"
                if _write(zipped, blob, name):
                    yield name


def _write_photos(zipped: zipfile.ZipFile, before: list[Enquiry]) -> Iterator[str]:
    """The photos of enquiries that nobody tied to them; those of theirs may be the same bytes."""
    links = EnquiryPhoto.objects.filter(enquiry__in=[each.pk for each in before])
    for blob in Blob.objects.filter(pk__in=links.values("blob")).order_by("pk"):
        name = f"files/asked-before-{blob.pk}.{file_ending(blob.media_type)}"
        if _write(zipped, blob, name):
            yield name


def _write(zipped: zipfile.ZipFile, blob: Blob, name: str) -> bool:
    original = original_name(blob.sha256)
    if not default_storage.exists(original):
        return False
    with (
        default_storage.open(original) as source,
        zipped.open(name, "w", force_zip64=True) as target,
    ):
        shutil.copyfileobj(source, target)
    return True


def _headed(tables: Iterable[tuple[str, list[list[Any]]]]) -> list[tuple[str, list[list[Any]]]]:
    """Tables under their headings, without those in which nothing stands."""
    return [(str(TABLES[name]), rows) for name, rows in tables if rows]
