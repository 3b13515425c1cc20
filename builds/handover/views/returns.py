"""Returns: the list, the page of one, and the deeds on it."""

from collections.abc import Callable
from uuid import uuid4

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.handover.actions import returns as actions
from builds.handover.forms import returns as forms
from builds.handover.models import Return
from builds.handover.queries import returns as queries
from builds.handover.queries.return_page import return_page
from builds.handover.refusals import Refused
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.files.actions import Refused as NoPicture
from shop.files.actions import keep
from shop.web.access import owner_only, staff
from shop.web.paging import cut
from shop.web.partials import done, next_url, page, refused

FRAME = {"room": "orders", "here": "returns"}
LISTS = {"open": queries.waiting, "work": queries.in_work, "settled": queries.settled}


@require_safe
def returns(request: HttpRequest) -> HttpResponse:
    """Returns that are announced; those in work and those that are settled by a tab."""
    asked = request.GET.get("show", "")
    show = asked if asked in LISTS else "open"
    tabs = [("open", _("announced")), ("work", _("in work")), ("settled", _("settled"))]
    counted = [(name, label, LISTS[name]().count()) for name, label in tabs]
    context = {
        "page_obj": cut(request, LISTS[show]()),
        "show": show,
        "tabs": counted,
        "is_any": any(count for _name, _label, count in counted),
    }
    return page(request, "handover/returns.html", FRAME | context)


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest, number: int) -> HttpResponse:
    """Note that the hilt of a build is to come back."""
    build = get_object_or_404(builds(), number=number)
    if request.method != "POST":
        return _new_page(request, build, forms.AnnounceForm(initial={"token": uuid4()}))
    form = forms.AnnounceForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            made = _announce(request, build, form)
        except (Refused, NoPicture) as error:
            form.add_error(None, str(error))
        else:
            return done(request, page_of(made), _("Noted. Its number is %s.") % made)
    return _new_page(request, build, form, 422)


def _announce(request: HttpRequest, build: Build, form: forms.AnnounceForm) -> Return:
    moment, said = now(), form.cleaned_data
    # Kept before the rows are written: a slow disk must not hold up other writers.
    kept = [keep(each, moment) for each in said["photos"]]
    by = staff(request)
    return actions.announce(
        build, form.facts(), token=said["token"], by=by, now=moment, photos=kept
    )


def _new_page(
    request: HttpRequest, build: Build, form: forms.AnnounceForm, status: int = 200
) -> HttpResponse:
    shown = {"build": build, "form": form, "may": queries.can_come_back(build)}
    return page(request, "handover/return_new.html", FRAME | shown, status=status)


@require_safe
def one(request: HttpRequest, number: int) -> HttpResponse:
    """One return."""
    return _show(request, found_of(number))


@owner_only
@require_POST
def decide(request: HttpRequest, number: int) -> HttpResponse:
    """Say whether it is covered, why, and who pays the carriage."""
    found, form = found_of(number), forms.VerdictForm(request.POST)
    if form.is_valid():
        seen = form.cleaned_data["seen"]
        try:
            actions.decide(found.pk, form.verdict(), seen=seen, by=staff(request), now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, page_of(found), _("Decided. Tell them next."))
    return _show(request, found_of(number), {"verdict": form}, 422)


@require_POST
def book(request: HttpRequest, number: int) -> HttpResponse:
    """Make a build of it, on the same hilt."""
    found = found_of(number)
    try:
        made = actions.make_build(found.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, page_of(found), str(error))
    to = next_url(request, reverse("bench_sheet", args=[made.number]))
    said = _("Booked as build %(build)s. When the box comes, %(number)s finds it.")
    if found.is_harmed:
        said = _("Booked as build %(build)s, of %(number)s. Its cell is damaged: call them first.")
    return done(request, to, said % {"build": made, "number": found})


@require_POST
def nothing(request: HttpRequest, number: int) -> HttpResponse:
    """Nothing comes of it."""
    found, form = found_of(number), forms.NothingForm(request.POST)
    if not form.is_valid():
        return _show(request, found, {"nothing": form}, 422)
    why = form.cleaned_data["why"]
    return _deed(
        request, found, lambda: actions.end_return(found.pk, why, by=staff(request), now=now())
    )


@require_POST
def again(request: HttpRequest, number: int) -> HttpResponse:
    """It is to come back after all."""
    found = found_of(number)
    return _deed(request, found, lambda: actions.open_again(found.pk, by=staff(request), now=now()))


def _deed(request: HttpRequest, found: Return, deed: Callable[[], Return]) -> HttpResponse:
    try:
        deed()
    except Refused as error:
        return refused(request, page_of(found), str(error))
    return done(request, page_of(found), _("Noted."))


def found_of(number: int) -> Return:
    """The return of a number, or 404."""
    found = queries.return_of(number)
    if found is None:
        raise Http404
    return found


def page_of(found: Return) -> str:
    """The address of its page."""
    return reverse("handover_return", args=[found.number])


def _show(
    request: HttpRequest,
    found: Return,
    bound: dict[str, BaseForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    now_so = {"covered": found.covered, "because": found.because, "pays": found.pays}
    verdict = forms.VerdictForm(initial=now_so | {"seen": actions.seen_as(found)})
    context = {
        "shown": return_page(found, request.house, now()),  # type: ignore[attr-defined]
        "forms": {"verdict": verdict, "nothing": forms.NothingForm(), **(bound or {})},
    }
    return page(request, "handover/return.html", FRAME | context, status=status)
