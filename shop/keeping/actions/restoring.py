"""Restores a back-up into an empty place: all of it or nothing."""

import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction

from shop import claims, env, folder
from shop.files.actions import render_anew
from shop.keeping import place, rows, sealed
from shop.keeping.archive import Archive, Refused


@dataclass
class Restored:
    """What was put back, and what the owner has to know."""

    rows: int = 0
    files: int = 0
    was_whole: bool = False
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    other_keys: list[str] = field(default_factory=list)


def restore(path: Path, passphrase: str = "") -> Restored:
    """Put a back-up into an empty place. All of it or nothing; the shop must not run."""
    held = claims.hold_folder()
    try:
        return _restore(path, passphrase)
    finally:
        os.close(held)


def _restore(path: Path, passphrase: str) -> Restored:
    cut_off = folder.restoring().exists()
    if place.holds_a_shop():
        if cut_off:  # the database comes last: only the mark was left to take away
            place.unmark()
            return Restored(was_whole=True)
        raise place.not_empty("a shop")
    if place.holds_media() and not cut_off:
        raise place.not_empty("photos")
    with sealed.opened(path, passphrase) as kept:
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
        # Bit by bit: a film may be larger than the memory.
        file: File[Any] = File(kept.member(name), name="")  # type: ignore[arg-type]
        default_storage.save(name.removeprefix("media/"), file)
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
