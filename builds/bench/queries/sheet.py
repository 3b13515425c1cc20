"""What the build sheet shows, part by part."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid4

from builds.bench.queries.rows import Row, rows
from builds.gates.conditions import MET, PASSED
from builds.intake.models import Match, Photo, View
from builds.intake.queries import photos_of
from builds.progress.models import Build
from builds.progress.queries import builds, undoable
from builds.queue.models import Promise
from shop.diary.queries import Calendar
from shop.history.queries import entries_about
from shop.orders.models import Answer
from shop.post.models import Message


@dataclass(frozen=True)
class Pictures:
    """The photos of a build or parcel, the views still to take, and the one that is next."""

    photos: Sequence[Photo]
    missing: Sequence[View]
    choices: Sequence[View]

    @property
    def next_view(self) -> View | None:
        """The view to take next."""
        return self.missing[0] if self.missing else None


def pictures_of(build: Build) -> Pictures:
    """A build's photos, and the views of its stage that nobody has taken."""
    return pictures(list(photos_of(build.pk)), build.state)


def pictures(photos: Sequence[Photo], stage: str) -> Pictures:
    """Photos beside the views that a stage wants and that nobody has taken."""
    taken = {photo.view_id for photo in photos}
    views = list(View.objects.filter(retired=False))
    wanted = [view for view in views if view.required and view.stage == stage]
    return Pictures(photos, [view for view in wanted if view.pk not in taken], views)


def by_number(number: int) -> Build | None:
    """The build of a number."""
    return builds().filter(number=number).first()


def sheet_of(build: Build, calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Everything on the sheet, as finished data."""
    row: Row = rows([build], calendar, now)[0]
    return {
        "build": build,
        "row": row,
        "met": [found for found in row.conditions if found.state == MET],
        "passed": [found for found in row.conditions if found.state == PASSED],
        "pictures": pictures_of(build),
        "matches": list(Match.objects.filter(build=build, ended_at=None).select_related("arrival")),
        "belongings": list(build.belongings.all()),
        "cells": list(build.cell_checks.select_related("by")),
        "notes": list(build.condition_notes.select_related("by")),
        "answers": list(_answers(build)),
        "holds": list(build.holds.select_related("put_by", "ended_by").order_by("-since")),
        "promises": list(_promises(build)),
        "messages_about": list(_messages(build)),
        "undoable": [(move, uuid4()) for move in undoable(now) if move.build_id == build.pk],
        "history": entries_about(build.about),
        "tokens": {"back": uuid4(), "end": uuid4()},
        "today": calendar.today(now),
    }


def _answers(build: Build) -> Any:
    return Answer.objects.filter(item=build.item_id).select_related("recorded_by").order_by("-at")


def _promises(build: Build) -> Any:
    return Promise.objects.filter(build=build).select_related("by").order_by("-at", "-pk")


def _messages(build: Build) -> Any:
    told = Message.objects.filter(about=build.about, customer__isnull=False)
    return told.order_by("-made_at")[:20]
