"""Settings: back-ups, and everything written out. The owner's alone."""

from typing import Any
from uuid import UUID, uuid4

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.clock import now
from shop.house.queries import house
from shop.keeping import folders
from shop.keeping.actions import asking
from shop.keeping.archive import Refused
from shop.keeping.forms import PassphraseForm, WhereForm
from shop.keeping.models import Export
from shop.keeping.queries import export_file, exports, lying, standing
from shop.web.access import (
    is_lately_proven,
    lately_proven,
    owner_only,
    proven_to_change,
    staff,
)
from shop.web.partials import done, page, refused

HERE = {"room": "settings", "here": "keeping_backups"}
MOST_SHOWN = 40


def _show(request: HttpRequest, wrong: bool = False, **forms: Any) -> HttpResponse:
    second = folders.second()
    there = lying()
    context = {
        "standing": standing(now()),
        "kept": there[:MOST_SHOWN],
        "more": len(there) - MOST_SHOWN,
        "folder": folders.folder(),
        "is_usual": folders.is_usual(),
        "second": second,
        "at": house().backup_at,
        "is_locked": bool(folders.passphrase()),
        "is_lock_fixed": folders.is_fixed("BACKUP_PASSPHRASE"),
        "token": uuid4(),
        "exports": exports(),
        "form": WhereForm(
            initial={
                "at": house().backup_at,
                "folder": "" if folders.is_usual() else folders.folder(),
                "second": second or "",
            }
        ),
        "words": PassphraseForm(),
        "is_proven": is_lately_proven(request),
        "here_url": reverse("keeping_backups"),
    }
    parts = {"going": "keeping/_going.html"}
    status = 422 if wrong else 200
    return page(request, "keeping/backups.html", HERE | context | forms, parts, status=status)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
@proven_to_change
def backups(request: HttpRequest) -> HttpResponse:
    """Where and when back-ups are made, and those that are kept."""
    if request.method != "POST":
        return _show(request)
    form = WhereForm(request.POST)
    if form.is_valid():
        asking.save_where(form.where(), by=staff(request), now=now())
        return done(
            request, reverse("keeping_backups"), _("Saved. It counts for the next back-up.")
        )
    return _show(request, True, form=form)


@owner_only
@require_POST
@lately_proven
@sensitive_post_parameters()
def lock(request: HttpRequest) -> HttpResponse:
    """Lock back-ups under a passphrase from now on."""
    form = PassphraseForm(request.POST)
    if folders.is_fixed("BACKUP_PASSPHRASE"):
        raise Http404
    if form.is_valid():
        asking.save_passphrase(form.cleaned_data["words"], by=staff(request), now=now())
        return done(request, reverse("keeping_backups"), _("The next back-up is locked by it."))
    return _show(request, True, words=form)


@owner_only
@require_POST
@lately_proven
def unlock(request: HttpRequest) -> HttpResponse:
    """Leave back-ups open from now on."""
    asking.save_passphrase("", by=staff(request), now=now())
    return done(request, reverse("keeping_backups"), _("The next back-up lies open."))


@owner_only
@require_POST
def make(request: HttpRequest) -> HttpResponse:
    """Have one made now."""
    asking.ask_backup(token=_token(request), by=staff(request), now=now())
    return done(request, reverse("keeping_backups"), _("It begins within a minute."))


def _token(request: HttpRequest) -> UUID:
    try:
        return UUID(request.POST.get("token", ""))
    except ValueError as error:
        raise Http404 from error


@owner_only
@require_POST
def check(request: HttpRequest) -> HttpResponse:
    """Have one read through."""
    try:
        asking.ask_check(request.POST.get("name", ""), by=staff(request), now=now())
    except Refused as refusal:
        return refused(request, reverse("keeping_backups"), str(refusal))
    return done(request, reverse("keeping_backups"), _("It is read through; look again soon."))


@owner_only
@require_POST
@lately_proven
def export(request: HttpRequest) -> HttpResponse:
    """Have everything written out."""
    asking.ask_export(token=_token(request), by=staff(request), now=now())
    return done(request, reverse("keeping_backups") + "#export", _("It begins within a minute."))


@owner_only
@require_safe
@lately_proven
def export_fetch(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Hand an export over."""
    one = get_object_or_404(Export, pk=pk, done_at__isnull=False, gone_at=None)
    path = export_file(one)
    if not path.is_file():
        raise Http404
    answer = FileResponse(path.open("rb"), as_attachment=True, filename=str(one))
    answer["Cache-Control"] = "private, no-store"
    return answer
