"""Backs the shop up into one file while people work.

The file holds the rows of every table of the shop's own, the originals of all photos, the pictures
made from them (a twentieth of the originals' size, against half a second of work each: a restored
shop shows its photos at once), both keys, and the env file. A picture that is not whole is left
out and made anew after restoring.
"""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO

from django.apps.registry import Apps
from django.conf import settings
from django.core.files.storage import default_storage
from django.db.models import Model

from shop import env, folder
from shop.files.queries import original_name, rendition_name
from shop.keeping import archive, place, rows, sealed
from shop.keeping.archive import Manifest, Refused, Writer


@dataclass(frozen=True)
class BackedUp:
    """What a back-up holds, and what it should hold but could not."""

    path: Path
    rows: int
    files: int
    size: int
    missing: list[str]
    damaged: list[str]


@dataclass(frozen=True)
class Media:
    """Which files the rows speak of, by name."""

    originals: dict[str, str]  # their SHA-256
    pictures: dict[str, tuple[str, int]]  # the SHA-256 of the original, the size of the picture


def backup(target: Path, now: datetime, passphrase: str = "") -> BackedUp:
    """Write everything into one new file: the database first, the media after.

    A file is kept before its row is written, so every row of the snapshot has its file.

    :param passphrase: locks the file; empty: it lies open.
    """
    if target.exists():
        raise Refused(
            f"{target} is there already, and no back-up is ever written over: name another."
        )
    if not place.holds_a_shop():
        raise Refused(f"There is no shop in {env.data_dir()} yet: nothing was backed up.")
    with archive.being_written(target) as file, _locked(file, passphrase) as inner:
        writer = Writer(inner)
        manifest, media = _write_rows(writer, now)
        _write_media(writer, media, manifest)
        _write_secrets(writer)
        writer.finish(manifest)
    count = sum(table["rows"] for table in manifest.tables.values())
    files = sum(name.startswith("media/") for name in manifest.members)
    size = target.stat().st_size
    return BackedUp(target, count, files, size, manifest.missing, manifest.damaged)


@contextmanager
def _locked(file: IO[bytes], passphrase: str) -> Iterator[IO[bytes]]:
    if not passphrase:
        yield file
        return
    with sealed.sealing(file, passphrase) as inner:
        yield inner


def _write_rows(writer: Writer, now: datetime) -> tuple[Manifest, Media]:
    using, tables = place.DEFAULT, {}
    with rows.snapshot(using):
        migrations = rows.applied(using)
        if rows.unknown(migrations):
            raise Refused(
                "The database was used by a newer Hiltyard: bring this one up to date first.",
                "newer",
            )
        apps, models = rows.models_at(migrations)
        for model in models:
            count = _write_table(writer, model, using)
            last = rows.last_id(model, using)
            tables[model._meta.db_table] = {"rows": count, "last_id": last}
        media = _media(apps, using)
    return Manifest(now.isoformat(), migrations, tables), media


def _write_table(writer: Writer, model: type[Model], using: str) -> int:
    # In the data folder, nameless: the rows are nobody else's to read.
    with tempfile.TemporaryFile(dir=env.data_dir()) as packed:
        count = rows.dump(model, packed, using)
        size = packed.tell()
        packed.seek(0)
        writer.add(f"rows/{model._meta.db_table}.jsonl.gz", packed, size)
    return count


def _media(apps: Apps, using: str) -> Media:
    kept = apps.get_model("shop", "Blob").objects.using(using)
    made = apps.get_model("shop", "Rendition").objects.using(using)
    return Media(
        {original_name(sha256): sha256 for sha256 in kept.values_list("sha256", flat=True)},
        {
            rendition_name(sha256, side): (sha256, size)
            for sha256, side, size in made.values_list("blob__sha256", "longest_side", "size")
        },
    )


def _write_media(writer: Writer, media: Media, manifest: Manifest) -> None:
    for name, sha256 in media.originals.items():
        try:
            with default_storage.open(name) as file:
                digest = writer.add(f"media/{name}", file, file.size)
        except FileNotFoundError:
            manifest.missing.append(name)
            continue
        if digest != sha256:
            manifest.damaged.append(name)  # kept all the same: better than nothing
    for name, (sha256, size) in media.pictures.items():
        if default_storage.exists(name) and default_storage.size(name) == size:
            with default_storage.open(name) as file:
                writer.add(f"media/{name}", file, size)
        else:
            manifest.to_render.append(sha256)


def _write_secrets(writer: Writer) -> None:
    # The keys in use: they may have come from the environment instead of the folder.
    for name in folder.KEYS:
        writer.add_bytes(f"keys/{name}", f"{getattr(settings, name.upper())}\n".encode())
    if env.env_file().exists():
        lines = env.env_file().read_text(encoding="utf-8").splitlines(keepends=True)
        typed = "".join(line for line in lines if not _is_passphrase(line))
        writer.add_bytes("env", typed.encode())


def _is_passphrase(line: str) -> bool:
    return line.partition("=")[0].strip() == sealed.PASSPHRASE
