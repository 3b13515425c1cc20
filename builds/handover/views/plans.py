"""The plan of gestures that is kept with a board: the page, and what is done on it."""

from collections.abc import Callable, Mapping

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.handover.actions import plans as actions
from builds.handover.forms.gestures import (
    AddLineForm,
    ChangeLineForm,
    SeenForm,
    groups_of,
    new_line,
)
from builds.handover.models import BoardGesture
from builds.handover.queries.gestures import by_being, plan_of, retired_of
from builds.handover.refusals import Refused
from shop.clock import now
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.web.access import staff
from shop.web.partials import done, page, refused


def _board(pk: int) -> Part:
    return get_object_or_404(Part, pk=pk, kind=PartKind.BOARD)


def _line(pk: int) -> BoardGesture:
    return get_object_or_404(BoardGesture.objects.select_related("part"), pk=pk)


def _here(board: Part) -> str:
    return reverse("handover_plan", args=[board.pk])


def _show(
    request: HttpRequest, board: Part, bound: Mapping[str, BaseForm], status: int = 200
) -> HttpResponse:
    lines, opened = by_being(plan_of(board.pk)), request.GET.get("line", "")
    context = {
        "room": "stores",
        "here": "stores",
        "board": board,
        "gestures": groups_of(lines, (), opened, bound),
        "add_line": bound.get("line-new") or new_line(),
        "retired": retired_of(board.pk),
    }
    return page(request, "handover/plan.html", context, None, status)


@require_safe
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """What builds with this board begin with."""
    return _show(request, _board(pk), {})


@require_POST
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a line."""
    board, form = _board(pk), AddLineForm(request.POST, prefix="line-new")
    if not form.is_valid():
        return _show(request, board, {"line-new": form}, 422)
    values = form.cleaned_data
    actions.add_line(pk, values, token=values["token"], by=staff(request), now=now())
    return done(request, _here(board), _("The line is kept."))


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a line."""
    line, form = _line(pk), ChangeLineForm(request.POST, prefix=f"line-{pk}")
    if form.is_valid():
        values = form.cleaned_data
        try:
            actions.change_line(pk, values, seen=values["seen"], by=staff(request), now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            said = _("The line is changed. Builds that took it over keep what they took.")
            return done(request, _here(line.part), said)
    if line.retired:
        return refused(request, _here(line.part), _("This line stands here no more."))
    return _show(request, line.part, {f"line-{pk}": form}, 422)


@require_POST
def up(request: HttpRequest, pk: int) -> HttpResponse:
    """One place up in its state."""
    return _by_tap(request, pk, actions.move_line_up)


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer it to no more builds."""
    return _by_tap(request, pk, actions.retire_line)


def _by_tap(request: HttpRequest, pk: int, deed: Callable[..., None]) -> HttpResponse:
    line, form = _line(pk), SeenForm(request.POST)
    if not form.is_valid():
        return refused(request, _here(line.part), _("This page is out of date. Look at it anew."))
    try:
        deed(pk, seen=form.cleaned_data["seen"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, _here(line.part), str(error))
    return done(request, _here(line.part))


@require_POST
def back(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer it again."""
    line = _line(pk)
    actions.bring_line_back(pk, by=staff(request), now=now())
    return done(request, _here(line.part), _("It is offered again."))
