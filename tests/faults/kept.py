"""Looks through the shop of the environment: what is kept, and whether anything is half-done."""

import json
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from hashlib import file_digest

import django

django.setup()

from django.core.files.storage import default_storage  # noqa: E402 – Django is to be set up first
from django.db import connection  # noqa: E402

from builds.intake.models import ConditionNote, Photo  # noqa: E402
from builds.progress.models import Build, Move  # noqa: E402
from shop.clock import now  # noqa: E402
from shop.files.actions import sweep_orphans  # noqa: E402
from shop.files.names import original  # noqa: E402
from shop.history.models import Entry  # noqa: E402
from shop.models import Blob  # noqa: E402
from shop.orders.models import Payment  # noqa: E402
from shop.post.models import Message  # noqa: E402


def kept() -> dict[str, list[str]]:
    """What there is of each kind of deed, by the mark that whoever did it knows."""
    whole = {blob.sha256 for blob in Blob.objects.all() if _is_whole(blob.sha256)}
    photos = Photo.objects.values_list("blob__sha256", flat=True)
    return {
        "move": [str(token) for token in Move.objects.values_list("token", flat=True)],
        "payment": [str(token) for token in Payment.objects.values_list("token", flat=True)],
        "note": list(ConditionNote.objects.values_list("words", flat=True)),
        "message": list(Message.objects.values_list("subject", flat=True)),
        "photo": sorted(whole & set(photos)),
    }


def _is_whole(sha256: str) -> bool:
    if not default_storage.exists(original(sha256)):
        return False
    with default_storage.open(original(sha256)) as file:
        return file_digest(file, "sha256").hexdigest() == sha256


def half_done() -> Iterator[str]:
    """Deeds of which a part is there and a part is not."""
    moved = set(Move.objects.values_list("build", flat=True))
    away = set(Build.objects.exclude(state="booked").values_list("pk", flat=True))
    yield from (f"build {pk} moved without a move, or the other way" for pk in moved ^ away)
    yield from _without_history()
    yield from (
        f"photo without its bytes: {blob.sha256}"
        for blob in Blob.objects.all()
        if not _is_whole(blob.sha256)
    )
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            said = [row[0] for row in cursor.fetchall()]
            cursor.execute("PRAGMA foreign_key_check")
            said += [str(row) for row in cursor.fetchall()]
        yield from (each for each in said if each != "ok")


def strays() -> Iterator[str]:
    """What a process that died left over: it shows nowhere, and is swept after a day."""
    yield from (f"bytes that no photo shows: {blob}" for blob in Blob.objects.filter(photos=None))
    media = default_storage.spool
    known = set(Blob.objects.values_list("sha256", flat=True))
    files = [path for path in (media / "originals").rglob("*") if path.is_file()]
    yield from (f"bytes without a row: {path}" for path in files if path.name not in known)
    yield from (f"half a file: {path}" for path in (media / "incoming").glob("*"))


def _without_history() -> Iterator[str]:
    told = Counter(Entry.objects.values_list("verb", flat=True))
    for verb, count in {
        "moved": Move.objects.count(),
        "payment_noted": Payment.objects.count(),
        "condition_noted": ConditionNote.objects.count(),
        "message_queued": Message.objects.exclude(to="").count(),
        "photo_added": Photo.objects.count(),
    }.items():
        if told[verb] != count:
            yield f"{count} rows, and the history says {verb} {told[verb]} times"


if "swept" in sys.argv:
    sweep_orphans(now() + timedelta(days=2))
found = {"kept": kept(), "half": list(half_done()), "strays": list(strays())}
sys.stdout.write("\n" + json.dumps(found))
