"""What the build sheet shows, part by part."""

from collections.abc import Iterable
from datetime import datetime
from itertools import groupby
from typing import Any
from uuid import uuid4

from builds.bench.queries.condition import condition_of
from builds.bench.queries.holds import holds_of
from builds.bench.queries.pictures import pictures_of
from builds.bench.queries.rows import Row, rows
from builds.fitting.queries.listed import listed
from builds.fitting.queries.since import changed_since
from builds.gates.conditions import MET, PASSED
from builds.handover.queries.after_care import after_care
from builds.handover.queries.before import before
from builds.intake.models import Belonging, Match
from builds.intake.queries import Facts
from builds.progress.models import Build
from builds.progress.queries import undoable
from builds.progress.states import FINISHED, State
from builds.queue.models import Promise
from builds.queue.queries.serving import servings
from builds.teardown.queries import ApartPage, apart_page
from shop.diary.queries import Calendar
from shop.history.queries import Line, entries_about
from shop.house.models import House
from shop.orders.models import Answer
from shop.post.models import Message
from shop.post.queries import links_to, url_of

A_WHOLE_LIFE = 1000  # entries: several times what a build with many photos comes to


def sheet_of(build: Build, calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Everything on the sheet, as finished data."""
    row: Row = rows([build], calendar, now)[0]
    shown = pictures_of(build)
    parts = listed([build.pk]).get(build.pk, [])
    return {
        "build": build,
        "row": row,
        "met": [found for found in row.conditions if found.state == MET],
        "passed": [found for found in row.conditions if found.state == PASSED],
        "pictures": shown,
        "matches": list(_matches(build)),
        "belongings": list(build.belongings.all()),
        "unclaimed": list(_unclaimed(build)),
        "cells": (cells := list(build.cell_checks.select_related("by"))),
        "cell_stays": Facts(cell=cells[0] if cells else None).why_cell_stays,
        "condition": condition_of(build, shown.photos),
        "parts": parts,
        "parts_fitted": sum(1 for part in parts if part.fitted_at),
        "answers": list(_answers(build)),
        "askings": list(build.item.askings.filter(ended_at=None).order_by("at", "pk")),
        "holds": holds_of(build, calendar.today(now)),
        **_promised(build, calendar, now),
        "messages_about": list(_messages(build)),
        "undoable": [(move, uuid4()) for move in undoable(now) if move.build_id == build.pk],
        "history": _gathered(entries_about(build.about, limit=A_WHOLE_LIFE)),
        "tokens": {"back": uuid4(), "end": uuid4()},
        "today": calendar.today(now),
        "apart": _apart(build),
        "changed": "; ".join(changed_since(build)),
        "care": after_care(build, now),
        "before": before(build),
    }


def own_page(build: Build, shop: House) -> dict[str, Any]:
    """Of a finished hilt: the address of its own page, None where no link opens it."""
    if build.hilt is None or build.state not in FINISHED:
        return {}
    link = links_to([build.hilt.about]).get(build.hilt.about)
    return {"shows_own_page": True, "own_page": url_of(link, shop)}


def _gathered(lines: Iterable[Line]) -> list[tuple[Line, int]]:
    """Lines with how often each was done in a row, as of photos sent one after the other."""
    alike = groupby(lines, lambda line: (line.text, line.who, line.at.date()))
    runs = (list(run) for _same, run in alike)
    return [(run[0], len(run)) for run in runs]


def _apart(build: Build) -> ApartPage | None:
    """How far a build in teardown is apart."""
    return apart_page(build) if build.hilt and build.state == State.TEARDOWN else None


def _matches(build: Build) -> Any:
    return Match.objects.filter(build=build, ended_at=None).select_related("arrival")


def _unclaimed(build: Build) -> Any:
    """What came in the same box, and nobody has said whose it is."""
    return Belonging.objects.filter(build=None, arrival__in=_matches(build).values("arrival"))


def _answers(build: Build) -> Any:
    return Answer.objects.filter(item=build.item_id).select_related("recorded_by").order_by("-at")


def _promised(build: Build, calendar: Calendar, now: datetime) -> dict[str, Any]:
    """The days that were told, and what the day asks by which it is needed."""
    told = list(_promises(build))
    serving = servings([build], calendar).get(build.pk) if build.is_open else None
    newest = told[0].day if told else None
    said = serving.said(calendar.first_day(now), newest) if serving else None
    return {"promises": told, "served": said}


def _promises(build: Build) -> Any:
    return Promise.objects.filter(build=build).select_related("by").order_by("-at", "-pk")


def _messages(build: Build) -> Any:
    told = Message.objects.filter(about=build.about, customer__isnull=False)
    return told.order_by("-made_at")[:20]
