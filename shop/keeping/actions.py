"""Backs the shop up into one file while people work, and restores it into an empty place.

The file holds the rows of every table of the shop's own, the originals of all photos, the pictures
made from them (a twentieth of the originals' size, against half a second of work each: a restored
shop shows its photos at once), both keys, and the env file. A picture that is not whole is left
out and made anew after restoring.
"""

import os
import tempfile
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from django.apps.registry import Apps
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Model

from shop import claims, env, folder
from shop.files.actions import render_anew
from shop.files.queries import original_name, rendition_name
from shop.keeping import archive, place, rows
from shop.keeping.archive import Archive, Manifest, Refused, Writer

__all__ = ["BackedUp", "Refused", "Restored", "backup", "restore"]


@dataclass(frozen=True)
class BackedUp:
    """What a back-up holds, and what it should hold but could not."""

    path: Path
    rows: int
    files: int
    size: int
    missing: list[str]
    damaged: list[str]


@dataclass
class Restored:
    """What was put back, and what the owner has to know."""

    rows: int = 0
    files: int = 0
    was_whole: bool = False
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    other_keys: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Media:
    """Which files the rows speak of, by name."""

    originals: dict[str, str]  # their SHA-256
    pictures: dict[str, tuple[str, int]]  # the SHA-256 of the original, the size of the picture


def backup(target: Path, now: datetime) -> BackedUp:
    """Write everything into one new file: the database first, the media after.

    A file is kept before its row is written, so every row of the snapshot has its file.
    """
    if target.exists():
        raise Refused(
            f"{target} is there already, and no back-up is ever written over: name another."
        )
    if not place.holds_a_shop():
        raise Refused(f"There is no shop in {env.data_dir()} yet: nothing was backed up.")
    with archive.being_written(target) as writer:
        manifest, media = _write_rows(writer, now)
        _write_media(writer, media, manifest)
        _write_secrets(writer)
        writer.finish(manifest)
    count = sum(table["rows"] for table in manifest.tables.values())
    files = sum(name.startswith("media/") for name in manifest.members)
    size = target.stat().st_size
    return BackedUp(target, count, files, size, manifest.missing, manifest.damaged)


def _write_rows(writer: Writer, now: datetime) -> tuple[Manifest, Media]:
    using, tables = place.DEFAULT, {}
    with rows.snapshot(using):
        migrations = rows.applied(using)
        if rows.unknown(migrations):
            raise Refused(
                "The database was used by a newer Hiltyard: bring this one up to date first."
            )
        apps, models = rows.models_at(migrations)
        for model in models:
            count = _write_table(writer, model, using)
            last = rows.last_id(model, using)
            tables[model._meta.db_table] = {"rows": count, "last_id": last}
        media = _media(apps, using)
    return Manifest(now.isoformat(), migrations, tables), media


def _write_table(writer: Writer, model: type[Model], using: str) -> int:
    # Beside the back-up, nameless: the rows are nobody else's to read.
    with tempfile.TemporaryFile(dir=Path(writer.file.name).parent) as packed:
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
        writer.add_bytes("env", env.env_file().read_bytes())


def restore(path: Path) -> Restored:
    """Put a back-up into an empty place. All of it or nothing; the shop must not run."""
    held = claims.hold_folder()
    try:
        return _restore(path)
    finally:
        os.close(held)


def _restore(path: Path) -> Restored:
    cut_off = folder.restoring().exists()
    if place.holds_a_shop():
        if cut_off:  # the database comes last: only the mark was left to take away
            place.unmark()
            return Restored(was_whole=True)
        raise place.not_empty("a shop")
    if place.holds_media() and not cut_off:
        raise place.not_empty("photos")
    with archive.opened(path) as kept:
        if rows.unknown(kept.manifest.migrations):
            raise Refused(f"{path} was made by a newer Hiltyard: bring this one up to date first.")
        with place.marked() as mark:
            return _put(kept, mark)


def _put(kept: Archive, mark: Path) -> Restored:
    manifest = kept.manifest
    done = Restored(missing=manifest.missing, damaged=manifest.damaged)
    with place.new_database(manifest.migrations, mark) as using:
        done.rows = _put_rows(kept, using)
        place.bring_up_to_date(using)
        done.files = _put_media(kept)
        render_anew(manifest.to_render, using)
        done.other_keys = _put_secrets(kept)
    return done


def _put_rows(kept: Archive, using: str) -> int:
    _, models = rows.models_at(kept.manifest.migrations)
    total = 0
    with transaction.atomic(using=using):
        for model in models:
            table = model._meta.db_table
            told = kept.manifest.tables[table]
            count = rows.load(model, kept.read(f"rows/{table}.jsonl.gz"), using)
            if count != told["rows"]:
                raise Refused(f"{kept.path} has {count} rows of {table} and not {told['rows']}.")
            rows.go_on_after(model, told["last_id"], using)
            total += count
    return total


def _put_media(kept: Archive) -> int:
    names = kept.names("media")
    for name in names:
        default_storage.save(name.removeprefix("media/"), ContentFile(kept.read(name)))
    return len(names)


def _put_secrets(kept: Archive) -> list[str]:
    """The names of keys that this machine's environment sets to something else."""
    keys = {name: kept.read(f"keys/{name}") for name in folder.KEYS}
    place.put_keys(keys)
    if "env" in kept.found:
        place.put_settings(kept.read("env").decode())
    return [
        name.upper()
        for name, content in keys.items()
        if env.secret(name.upper(), name) != content.decode().strip()
    ]
