"""The pages of sound sets: the shelf of them, one that comes, one with what is found of it."""

from typing import Any
from uuid import uuid4

from django.core.paginator import Paginator
from django.forms import BaseForm
from django.http import (
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    StreamingHttpResponse,
)
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.progress.models import Build
from builds.sounds.actions import copies, sets
from builds.sounds.audit_words import findings as words
from builds.sounds.forms import sets as forms
from builds.sounds.models import CardProfile, SoundFile, SoundSet
from builds.sounds.queries import sets as queries
from builds.sounds.queries.zips import entries_of, zipped
from builds.sounds.refusals import Refused
from builds.sounds.states import Licence, SetState
from shop.clock import now
from shop.files.queries import send_file
from shop.history.queries import entries_about
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused

A_PAGE = 100
LONGEST = 20  # signs of a number that are looked at
PARTS = {"looking": "sounds/_looking.html"}
_MEDIA = {"wave": "audio/wav", "mp3": "audio/mpeg", "flac": "audio/flac", "ogg": "audio/ogg"}


def set_of(pk: int) -> SoundSet:
    """A set, or 404."""
    return get_object_or_404(queries.sound_sets(), pk=pk)


@require_safe
def shelf(request: HttpRequest) -> HttpResponse:
    """Every set that is offered, by name."""
    begun = request.GET.get("begins", "")
    found = queries.with_counts(queries.sets_named(begun))
    shown = cut(request, found)
    context = {
        "room": "stores",
        "here": "sounds",
        "page_obj": shown,
        "sets": shown.object_list,
        "begins": begun,
        "used": queries.usage(each.pk for each in shown.object_list),
        "boards": list(queries.boards()),
    }
    return page(request, "sounds/shelf.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def bring(request: HttpRequest) -> HttpResponse:
    """Take a set in."""
    build = _asked_build(request)
    buyers = queries.buyers([build.item.order.customer_id] if build else [])
    if request.method != "POST":
        first: dict[str, Any] = {"token": uuid4(), "licence": Licence.ONE_BUYER}
        if build:
            first["customer"] = build.item.order.customer_id
        return _bring_page(request, forms.BringForm(buyers=buyers, initial=first), build)
    form = forms.BringForm(request.POST, request.FILES, buyers=buyers)
    if form.is_valid():
        token = form.cleaned_data["token"]
        try:
            kept = sets.bring(form.came(), form.facts(), token=token, by=staff(request), now=now())
        except Refused as error:
            form.add_error("sounds", str(error))
        else:
            said = ngettext(
                "The set is kept: %(n)d file.", "The set is kept: %(n)d files.", kept.total
            )
            return done(request, reverse("sounds_set", args=[kept.pk]), said % {"n": kept.total})
    return _bring_page(request, form, build, 422)


def _asked_build(request: HttpRequest) -> Build | None:
    number = request.GET.get("build", "")[:LONGEST]
    found = Build.objects.select_related("item__order__customer", "hilt")
    return found.filter(number=int(number)).first() if number.isdecimal() else None


def _bring_page(
    request: HttpRequest, form: BaseForm, build: Build | None, status: int = 200
) -> HttpResponse:
    context = {"room": "stores", "here": "sounds", "form": form, "build": build}
    return page(request, "sounds/bring.html", context, None, status)


@require_safe
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One set: how far it is looked at, what is found of it, its files."""
    return show(request, set_of(pk))


def show(
    request: HttpRequest,
    held: SoundSet,
    bound: dict[str, BaseForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page of a set, with the form that came back bound in place of its fresh one."""
    context = {"room": "stores", "here": "sounds", "set": held, "seen": sets.seen_of(held)}
    context |= _found(request, held) | _forms(held, bound or {})
    return page(request, "sounds/set.html", context, PARTS, status)


def _found(request: HttpRequest, held: SoundSet) -> dict[str, Any]:
    files = list(held.files.select_related("blob"))
    known = queries.profiles()
    profile = _profile(request, held, known)
    wish = queries.wish_of(profile) if profile else None
    shown = Paginator(files, A_PAGE).get_page(request.GET.get("page"))
    return {
        "profiles": known,
        "profile": profile,
        "audit": queries.audit_of(files, wish),
        "takes": queries.room_of([f.path for f in files], [f.size for f in files], profile),
        "page_obj": shown,
        "rows": [_row(file, wish) for file in shown.object_list],
        "is_busy": held.state in (SetState.KEPT, SetState.LOOKING),
        "sorts": words.sort_choices(),
        "used": queries.usage([held.pk]).get(held.pk, []),
        "copies": list(held.copies.filter(ended_at=None).select_related("made_for")),
        "history": entries_about(held.about, limit=10),
    }


def _profile(request: HttpRequest, held: SoundSet, known: list[CardProfile]) -> CardProfile | None:
    """The board that is asked for; of a copy its own; else the first."""
    asked = request.GET.get("board", "")[:LONGEST]
    wanted = int(asked) if asked.isdecimal() else held.made_for_id
    named = [each for each in known if each.part_id == wanted]
    return next(iter(named or known), None)


def _row(file: SoundFile, wish: Any) -> dict[str, Any]:
    found = queries.findings_of(file, wish) if file.looked_at else []
    peak = file.facts.get("peak_db")
    return {
        "file": file,
        "sort": words.SORTS[file.sort or "other"],
        "kind": words.KINDS[file.facts.get("kind", "other")] if file.looked_at else "",
        "loudness": words.loudness(file.facts),
        "peak": words.signed(peak) if peak is not None else "",
        "found": [words.called(each.code) for each in found],
        "stops": any(each.level == 0 for each in found),
        "plays": file.facts.get("kind") in _MEDIA and file.blob_id,
    }


def _forms(held: SoundSet, bound: dict[str, BaseForm]) -> dict[str, Any]:
    buyers = queries.buyers([held.customer_id] if held.customer_id else [])
    first = {
        "name": held.name,
        "licence": held.licence,
        "customer": held.customer_id,
        "words": held.licence_words,
    }
    return {
        "facts": bound.get("facts") or forms.FactsForm(buyers=buyers, initial=first),
        "copy_token": uuid4(),
    }


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Say anew what a set is called and whose it is."""
    held = set_of(pk)
    form = forms.FactsForm(
        request.POST, buyers=queries.buyers([held.customer_id] if held.customer_id else [])
    )
    if form.is_valid():
        seen = request.POST.get("seen", "")
        try:
            sets.change_set(pk, form.facts(), seen=seen, by=staff(request), now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, reverse("sounds_set", args=[pk]), _("The set is changed."))
    return show(request, held, {"facts": form}, 422)


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a set no more."""
    here = reverse("sounds_set", args=[set_of(pk).pk])
    form = forms.SeenForm(request.POST)
    if not form.is_valid():
        return refused(request, here, _("This page is out of date. Look at it anew."))
    try:
        sets.end_set(pk, seen=form.cleaned_data["seen"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, here, str(error))
    return done(request, reverse("sounds_shelf"), _("The set is offered no more."))


@require_POST
def sort(request: HttpRequest, pk: int) -> HttpResponse:
    """Say of what sort some files are."""
    held = set_of(pk)
    form = forms.SortForm(request.POST, ids=list(held.files.values_list("pk", flat=True)))
    here = reverse("sounds_set", args=[pk])
    if not form.is_valid() or not form.cleaned_data["file"]:
        return refused(request, f"{here}#files", _("Tick the files, then say what they are."))
    said = form.cleaned_data
    count = sets.sort_files(pk, said["file"], said["sort"], by=staff(request), now=now())
    told = ngettext("%(n)d file sorted.", "%(n)d files sorted.", count) % {"n": count}
    return done(request, f"{here}#files", told)


@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """Look at what could not be read once more."""
    sets.look_again(set_of(pk).pk, by=staff(request), now=now())
    return done(request, reverse("sounds_set", args=[pk]), _("It is looked at anew."))


@require_POST
def copy(request: HttpRequest, pk: int) -> HttpResponse:
    """Have a copy made in the format that a board wants."""
    held = set_of(pk)
    here = reverse("sounds_set", args=[pk])
    form = forms.CopyForm(request.POST, profiles=queries.profiles())
    if not form.is_valid():
        return refused(request, here, _("Choose a board whose wish is written down."))
    said = form.cleaned_data
    try:
        made = copies.ask_copy(
            held.pk, said["board"], token=said["token"], by=staff(request), now=now()
        )
    except Refused as error:
        return refused(request, here, str(error))
    return done(request, reverse("sounds_set", args=[made.pk]), _("The copy is being made."))


@require_safe
def as_zip(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Every file of a set in one zip."""
    held = set_of(pk)
    files = list(held.files.select_related("blob"))
    response = StreamingHttpResponse(zipped(entries_of(files)), content_type="application/zip")
    response["Content-Disposition"] = content_disposition_header(True, f"{held.name}.zip") or ""
    return response


@require_safe
def file(request: HttpRequest, pk: int, file_id: int) -> HttpResponseBase:
    """A file as it came, to be heard or saved."""
    found = get_object_or_404(SoundFile.objects.select_related("blob"), pk=file_id, sound_set=pk)
    if found.blob is None:
        raise Http404
    name = found.path.rpartition("/")[2]
    return send_file(request, found.blob, name, _MEDIA.get(found.facts.get("kind", ""), ""))
