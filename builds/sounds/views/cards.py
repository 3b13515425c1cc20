"""The page of a build's card: what belongs on it, its list, what is kept of it."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.progress.models import Build
from builds.sounds.actions import cards
from builds.sounds.forms import cards as forms
from builds.sounds.models import CardKept, CardListing
from builds.sounds.queries import cards as queries
from builds.sounds.queries.zips import zipped
from builds.sounds.refusals import Refused
from builds.sounds.views.slots import build_of
from shop.clock import now
from shop.files.queries import send_file
from shop.templatetags.draw import short_day
from shop.web.access import staff
from shop.web.partials import done, page, refused


@require_safe
def card(request: HttpRequest, number: int) -> HttpResponse:
    """The card of one build."""
    return _show(request, build_of(number))


def _show(
    request: HttpRequest, build: Build, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    found, lists = queries.card_of(build), queries.listings_of(build)
    newest = lists[0] if lists else None
    forms_ = bound or {}
    context = {
        "room": "bench",
        "build": build,
        "card": found,
        "shouting": queries.shouting_on([slot for slot in found.slots if slot.sound_set_id]),
        "newest": newest,
        "is_old": newest is not None and queries.differs(newest, found),
        "older": lists[1:],
        "checks": queries.checks_of(newest),
        "kept": queries.kept_of(build),
        "list_token": uuid4(),
        "check": forms_.get("check") or forms.CheckForm(initial={"token": uuid4()}),
        "keep": forms_.get("keep") or forms.KeepForm(initial={"token": uuid4()}),
    }
    return page(request, "sounds/card.html", context, None, status)


def _deed(
    request: HttpRequest,
    build: Build,
    name: str,
    form: BaseForm,
    deed: Callable[[], Any],
    said: str,
) -> HttpResponse:
    if form.is_valid():
        try:
            deed()
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, f"{reverse('sounds_card', args=[build.number])}#{name}", said)
    return _show(request, build, {name: form}, 422)


@require_POST
def make_list(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what belongs on the card now."""
    build = build_of(number)
    here = reverse("sounds_card", args=[number])
    form = forms.TokenForm(request.POST)
    if not form.is_valid():
        return refused(request, here, _("This page is out of date. Look at it anew."))
    try:
        cards.list_card(build.pk, token=form.cleaned_data["token"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, here, str(error))
    return done(request, f"{here}#list", _("The list is made."))


@require_POST
def check(request: HttpRequest, number: int) -> HttpResponse:
    """Hold a card against the newest list."""
    build = build_of(number)
    newest = next(iter(queries.listings_of(build)), None)
    if newest is None:
        here = reverse("sounds_card", args=[number])
        return refused(request, here, _("Make the list of the card first."))
    form = forms.CheckForm(request.POST, request.FILES)
    held = next(iter(queries.checks_of(newest)), None)
    if held and form.is_empty:
        here = f"{reverse('sounds_card', args=[number])}#check"
        told = {"who": held.by.name, "day": short_day(held.at)}
        said = _("%(who)s held it against its list already, %(day)s. Choose it to do so again.")
        return done(request, here, said % told)

    def deed() -> None:
        token, by = form.cleaned_data["token"], staff(request)
        cards.check_card(newest.pk, form.text(), token=token, by=by, now=now())

    return _deed(request, build, "check", form, deed, _("The card is held against its list."))


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep a file or a version."""
    build = build_of(number)
    form = forms.KeepForm(request.POST, request.FILES)

    def deed() -> None:
        said = form.cleaned_data
        token, by = said["token"], staff(request)
        cards.keep_of_card(build, said["upload"], said, token=token, by=by, now=now())

    return _deed(request, build, "keep", form, deed, _("It is kept."))


@require_POST
def end_kept(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Show something kept no more."""
    kept = get_object_or_404(CardKept, pk=pk, build__number=number)
    cards.end_kept(kept.pk, by=staff(request), now=now())
    return done(request, f"{reverse('sounds_card', args=[number])}#keep")


@require_safe
def kept(request: HttpRequest, number: int, pk: int) -> HttpResponseBase:
    """A file that is kept, as it came."""
    found = get_object_or_404(CardKept.objects.select_related("blob"), pk=pk, build__number=number)
    if found.blob is None:
        raise Http404
    return send_file(request, found.blob, found.name)


@require_safe
def as_text(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """A list as sha256sum reads it, to check a card with."""
    found = get_object_or_404(CardListing, pk=pk, build__number=number)
    lines = "".join(f"{digest}  {path}\n" for path, _size, digest in found.entries)
    response = HttpResponse(lines, content_type="text/plain; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="card-{number:04d}.sha256"'
    return response


@require_safe
def as_zip(request: HttpRequest, number: int) -> HttpResponseBase:
    """What belongs on the card, in its folders, in one zip."""
    found = queries.card_of(build_of(number))
    response = StreamingHttpResponse(zipped(found.entries), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="card-{number:04d}.zip"'
    return response
