"""Enquiries: what somebody asks for before there is an order."""

from collections.abc import Callable
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.forms.enquiries import (
    EnquiryForm,
    EnquiryPhotosForm,
    LostForm,
    NewEnquiryForm,
    initial_of,
)
from builds.desk.queries.enquiries import enquiry_of, photos_of
from shop.clock import now
from shop.files.actions import Refused as NoPicture
from shop.files.actions import keep
from shop.history.queries import entries_about
from shop.orders import enquiries as actions
from shop.orders.models import Enquiry, EnquiryState
from shop.orders.queries import enquiries as in_state
from shop.orders.queries import enquiry_counts
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused

FRAME = {"room": "orders", "here": "enquiries"}


@require_safe
def enquiries(request: HttpRequest) -> HttpResponse:
    """Enquiries in one state; those without an answer first of all."""
    asked = request.GET.get("show", "")
    show = asked if asked in EnquiryState.values else EnquiryState.OPEN.value
    counts = enquiry_counts()
    context = {
        "page_obj": cut(request, in_state(show)),
        "show": show,
        "tabs": [(state.value, state.label, counts[state.value]) for state in EnquiryState],
        "is_any": any(counts.values()),
    }
    return page(request, "desk/enquiries.html", FRAME | context)


@require_http_methods(["GET", "HEAD", "POST"])
def enquiry_new(request: HttpRequest) -> HttpResponse:
    """Write an enquiry down."""
    if request.method != "POST":
        chosen = request.GET.get("customer", "")
        form = NewEnquiryForm(initial={"token": uuid4(), "customer": chosen}, chosen=chosen)
        return page(request, "desk/enquiry_new.html", FRAME | {"form": form})
    form = NewEnquiryForm(request.POST)
    if not form.is_valid():
        return page(request, "desk/enquiry_new.html", FRAME | {"form": form}, status=422)
    token = form.cleaned_data["token"]
    noted = actions.note_enquiry(form.facts(), token=token, by=staff(request), now=now())
    return done(request, _page_of(noted), _("The enquiry is noted."))


@require_http_methods(["GET", "HEAD", "POST"])
def enquiry(request: HttpRequest, pk: int) -> HttpResponse:
    """One enquiry; sent back, what is now written down of it."""
    found = _found(pk)
    if request.method != "POST":
        return _show(request, found)
    form = EnquiryForm(request.POST)
    if form.is_valid():
        try:
            actions.change_enquiry(found.pk, form.facts(), staff(request), now())
        except actions.Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _page_of(found), _("Saved."))
    return _show(request, found, form=form, status=422)


@require_POST
def photos(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep photos that came with it."""
    found, form = _found(pk), EnquiryPhotosForm(request.POST, request.FILES)
    if not form.is_valid():
        return _show(request, found, photos_form=form, status=422)
    moment = now()
    try:
        # Kept before the rows are written: a slow disk must not hold up other writers.
        kept = [keep(each, moment) for each in form.cleaned_data["photos"]]
    except NoPicture as error:
        form.add_error("photos", str(error))
        return _show(request, found, photos_form=form, status=422)
    actions.add_photos(found.pk, kept, staff(request), moment)
    return done(request, _page_of(found), _("The photos are kept."))


@require_POST
def answered(request: HttpRequest, pk: int) -> HttpResponse:
    """They have our answer."""
    return _deed(request, pk, actions.mark_answered, _("Noted: it is their turn."))


@require_POST
def reopen(request: HttpRequest, pk: int) -> HttpResponse:
    """They wrote again, or it comes to something after all."""
    return _deed(request, pk, actions.mark_open, _("It is open again."))


@require_POST
def lost(request: HttpRequest, pk: int) -> HttpResponse:
    """It came to nothing."""
    found, form = _found(pk), LostForm(request.POST)
    if not form.is_valid():
        return _show(request, found, lost_form=form, status=422)
    why = form.cleaned_data["why"]
    return _deed(
        request,
        pk,
        lambda key, by, moment: actions.mark_lost(key, why, by, moment),
        _("Noted, with the reason."),
    )


def _deed(request: HttpRequest, pk: int, deed: Callable[..., Enquiry], said: str) -> HttpResponse:
    found = _found(pk)
    try:
        deed(found.pk, staff(request), now())
    except actions.Refused as error:
        return refused(request, _page_of(found), str(error))
    return done(request, _page_of(found), said)


def _found(pk: int) -> Enquiry:
    found = enquiry_of(str(pk))
    if found is None:
        raise Http404
    return found


def _page_of(found: Enquiry) -> str:
    return reverse("desk_enquiry", args=[found.pk])


def _show(
    request: HttpRequest,
    found: Enquiry,
    form: EnquiryForm | None = None,
    lost_form: LostForm | None = None,
    photos_form: EnquiryPhotosForm | None = None,
    status: int = 200,
) -> HttpResponse:
    chosen = str(found.customer_id or "")
    context = {
        "enquiry": found,
        "form": form or EnquiryForm(initial=initial_of(found), chosen=chosen),
        "lost_form": lost_form or LostForm(),
        "photos": photos_of(found),
        "photos_form": photos_form or EnquiryPhotosForm(),
        "history": entries_about(found.about),
    }
    return page(request, "desk/enquiry.html", FRAME | context, status=status)
