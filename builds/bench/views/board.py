"""The Bench: one band a stage, one button a build."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.bench.forms.moves import MoveForm, OtherTrayForm, StartForm, UndoForm
from builds.bench.queries.board import bands, rows_to_draw, rule
from builds.bench.queries.working import timers
from builds.dispatch.actions import Refused as ParcelRefused
from builds.gates import actions as gates
from builds.progress.actions import Refused as MoveRefused
from builds.progress.actions import TrayTaken
from builds.progress.models import Build, Move
from builds.progress.queries import in_its_minute, undoable
from builds.queue.queries.limits import over_limit
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.web.access import staff
from shop.web.drawn import drawn_while_unchanged
from shop.web.partials import done, next_url, page, refused
from shop.web.unchanged import while_unchanged

REFUSALS = (gates.Refused, MoveRefused, ParcelRefused)


@require_safe
def board(request: HttpRequest) -> HttpResponse:
    """The whole bench."""
    moment = now()
    drawn = drawn_while_unchanged(
        request, "bench/_bands.html", moment, lambda: _bands(request, moment)
    )
    moved = while_unchanged(undoable, moment, lambda: undoable(moment))
    context = {
        "room": "bench",
        "drawn": drawn,
        "undoable": [(move, uuid4()) for move in moved if in_its_minute(move, moment)],
    }
    return page(request, "bench/board.html", context, {"board": "bench/_board.html"})


def _bands(request: HttpRequest, moment: datetime) -> dict[str, Any]:
    shop = house()  # anew: what is drawn may outlive this look
    diary = calendar(shop)
    found = rows_to_draw(diary, moment)
    return {
        "bands": bands(found),
        "rule": rule(found, diary, moment),
        "has_builds": bool(found),
        "timers": timers(staff(request), diary, moment),
        "moment": moment,
        "house": shop,
    }


def _id_of(number: int) -> int:
    found = Build.objects.filter(number=number).values_list("pk", flat=True).first()
    if found is None:
        raise Http404
    return found


@require_POST
def move(request: HttpRequest, number: int) -> HttpResponse:
    """Move a build to its next stage."""
    build_id = _id_of(number)
    back = next_url(request, reverse("bench_bench"))
    form = MoveForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    try:
        moved = gates.advance(
            build_id,
            token=form.cleaned_data["token"],
            expected=form.cleaned_data["expected"],
            by=staff(request),
            now=now(),
        )
    except REFUSALS as error:
        return refused(request, back, str(error))
    said = _("%(name)s is in %(stage)s.") % {
        "name": moved.build.hilt or moved.build,
        "stage": moved.get_to_state_display(),
    }
    return done(request, back, said)


@require_POST
def start(request: HttpRequest, number: int) -> HttpResponse:
    """Start the stage in which a build waits."""
    build = get_object_or_404(Build, number=number)
    back = next_url(request, reverse("bench_bench"))
    form = StartForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    try:
        started = gates.start(
            build.pk, expected=form.cleaned_data["expected"], by=staff(request), now=now()
        )
    except REFUSALS as error:
        return refused(request, back, str(error))
    said = _("%s is started.") % (build.hilt or build)
    return done(request, back, f"{said} {over_limit(started)}".strip())


@require_POST
def undo(request: HttpRequest, move_id: int) -> HttpResponse:
    """Take a move back within its minute."""
    undone = get_object_or_404(Move, pk=move_id)
    back = next_url(request, reverse("bench_bench"))
    form = OtherTrayForm(request.POST) if "build" in request.POST else UndoForm(request.POST)
    if not form.is_valid() and "build" in request.POST:
        return _ask_tray(request, undone, form, back)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    values = form.cleaned_data
    trays = {values["build"].pk: values["tray"]} if "build" in values else {}
    try:
        gates.undo(
            undone.pk,
            token=values["token"],
            tray=trays.pop(undone.build_id, None),
            trays=trays,
            by=staff(request),
            now=now(),
        )
    except TrayTaken as taken:
        fresh = OtherTrayForm(initial={"token": values["token"], "build": taken.build})
        return _ask_tray(request, undone, fresh, back, str(taken))
    except REFUSALS as error:
        return refused(request, back, str(error))
    return done(
        request, back, _("Taken back: it is in %s again.") % undone.get_from_state_display()
    )


def _ask_tray(
    request: HttpRequest, undone: Move, form: Form, back: str, why: str = ""
) -> HttpResponse:
    """Ask for another tray: the build's own was given away meanwhile."""
    context = {"room": "bench", "undone": undone, "form": form, "next": back, "why": why}
    return page(request, "bench/undo_tray.html", context, status=422)
