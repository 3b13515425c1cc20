"""Reads what was backed up: what lies in the folder, what went wrong, how old the newest is."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from django.utils import timezone

from shop.clock import AHEAD
from shop.house.queries import house
from shop.keeping import folders, kept
from shop.keeping.models import Backup, Export

OLD_AFTER = timedelta(days=2)


@dataclass(frozen=True)
class Kept:
    """A back-up that lies in the folder."""

    name: str
    made: datetime
    size: int
    is_locked: bool
    row: Backup | None
    in_second: bool


@dataclass(frozen=True)
class Standing:
    """How the shop's back-ups stand."""

    newest: Backup | None  # the last good one
    failed: Backup | None  # the last try, where it failed
    is_old: bool
    going: Backup | None


def lying() -> list[Kept]:
    """The back-ups in the folder, the newest first; a half-written file is none."""
    path, second = folders.folder(), folders.second()
    there, twice = folders.names(path), set(folders.names(second) if second else [])
    rows = {row.file_name: row for row in Backup.objects.filter(file_name__in=there)}
    return [_kept(path, name, rows.get(name), name in twice) for name in there]


def _kept(path: Path, name: str, row: Backup | None, in_second: bool) -> Kept:
    made = kept.made_of(name)
    assert made is not None  # noqa: S101 (names() lists no others)
    aware = timezone.make_aware(made, house().zone)
    return Kept(name, aware, folders.size_of(path / name), ".age." in name, row, in_second)


def standing(now: datetime) -> Standing:
    """How things stand, in three queries."""
    good = Backup.objects.filter(done_at__isnull=False, check_problem="")
    # By the order in which they were made: one that a clock made that was ahead is not the newest.
    newest = good.order_by("-pk").first()
    begun = Backup.objects.filter(begun_at__lte=now + AHEAD)
    last = begun.order_by("-begun_at").first()
    failed = last if last and last.problem and not last.done_at else None
    going = Backup.objects.filter(done_at=None, problem="").order_by("asked_at").first()
    since = newest.done_at if newest and newest.done_at else house().set_up_at
    return Standing(newest, failed, bool(since and abs(now - since) > OLD_AFTER), going)


def oldest_day() -> date | None:
    """The day of the oldest back-up in the folder; None where there is none."""
    there = folders.names(folders.folder())
    made = kept.made_of(there[-1]) if there else None
    return made.date() if made else None


def exports() -> list[Export]:
    """The exports of the last days, the newest first."""
    return list(Export.objects.filter(gone_at=None).order_by("-asked_at")[:5])


def export_file(export: Export) -> Path:
    """Where an export lies."""
    return folders.exports() / str(export)
