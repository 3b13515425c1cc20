"""The customer's pages, opened by a private link and by nothing else."""

from collections.abc import Callable
from datetime import date, timedelta
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from builds.handover.actions.returns import Facts
from builds.handover.actions.returns import Refused as NoReturn
from builds.handover.models import Booklet, Film
from builds.handover.queries.booklet_paper import booklet_file
from builds.handover.queries.films import send_part
from builds.hilts.models import Hilt
from builds.intake.models import Photo
from builds.sounds.actions.sets import Came
from builds.sounds.actions.sets import Refused as NotTaken
from builds.visitor import actions, queries
from builds.visitor.forms import QuestionForm, ReturnForm, SoundsForm, YesNoForm
from shop.clock import day_in, now
from shop.files.actions import Refused as NoPicture
from shop.files.queries import rendition_of, send_rendition
from shop.house.queries import house
from shop.house.speech import speaking_as
from shop.orders.actions import Refused
from shop.orders.models import Order
from shop.orders.queries import askings_of, quotes_told
from shop.orders.queries.printing import file_name, pdf_of
from shop.web.access import caller_key, public
from shop.web.partials import page
from shop.web.throttle import allow, give_back
from shop.web.uploads import takes_files

MOST_QUESTIONS, QUESTIONS_WITHIN = 5, timedelta(hours=1)
MOST_GUESSES, GUESSES_WITHIN = 20, timedelta(minutes=10)
PHOTO_KEPT_S = 600
MOST_SENT = 60_000_000  # bytes of sound files at once
MOST_PHOTOGRAPHED = 40_000_000  # bytes of photos of what is wrong
MOST_RETURNS, MOST_RETURN_TRIES, RETURNS_WITHIN = 5, 20, timedelta(days=1)
MOST_SETS, SETS_WITHIN = 6, timedelta(days=1)

LinkView = Callable[..., HttpResponseBase]
Opening = Callable[[str, date], Order | Hilt | None]


def by_link(opening: Opening) -> Callable[[LinkView], LinkView]:
    """Hand the view what the link in the address opens, or answer that it opens nothing."""

    def bound(view: LinkView) -> LinkView:
        @wraps(view)
        def opened(request: HttpRequest, token: str, **rest: Any) -> HttpResponseBase:
            today = day_in(request.house.zone, now())  # type: ignore[attr-defined]
            found = opening(token, today)
            if found is None:
                return _unknown(request, guessed=True)
            # What a customer reads is in their language, whoever of the shop looks over.
            with speaking_as(request.house, found.customer.language):  # type: ignore[attr-defined]
                return view(request, found, token, **rest)

        return opened

    return bound


@public
@require_http_methods(["GET", "HEAD", "POST"])
@by_link(queries.order_by_link)
def order(request: HttpRequest, found: Order, token: str) -> HttpResponseBase:
    """Where the order is, what was found, and a way to ask."""
    if request.method != "POST":
        return _order_page(request, found, token, QuestionForm())
    form = QuestionForm(request.POST)
    if not form.is_valid():
        return _order_page(request, found, token, form, status=422)
    once = form.cleaned_data["once"]
    if not actions.was_asked(found, once):
        if not allow("question", found.number, MOST_QUESTIONS, QUESTIONS_WITHIN, now()):
            form.add_error("words", _too_many(request))
            return _order_page(request, found, token, form, status=429)
        shop = request.house  # type: ignore[attr-defined]
        actions.ask(found, form.cleaned_data["words"], once=once, shop=shop, now=now())
    return _back(token, "?asked=1#question")


@public
@require_http_methods(["GET", "HEAD", "POST"])
@by_link(queries.order_by_link)
def quote(request: HttpRequest, found: Order, token: str, revision: int) -> HttpResponseBase:
    """Answer a quote: a yes binds to its exact words. Looked at, the order's page has it."""
    form = YesNoForm(request.POST)
    offered = queries.offer_of(found, revision)
    if request.method != "POST" or offered is None or not form.is_valid():
        return _back(token, "#quote")
    shop = request.house  # type: ignore[attr-defined]
    words = "" if form.is_yes else form.cleaned_data["words"]
    try:
        actions.answer_quote(offered, is_yes=form.is_yes, words=words, shop=shop, now=now())
    except Refused as error:
        return _order_page(request, found, token, QuestionForm(), status=409, why=str(error))
    return _back(token, "#quote")


@public
@require_http_methods(["GET", "HEAD", "POST"])
@by_link(queries.order_by_link)
def consent(request: HttpRequest, found: Order, token: str, asking_id: int) -> HttpResponseBase:
    """Answer one consent that was asked for."""
    form = YesNoForm(request.POST)
    asked = queries.asking_of(found, asking_id)
    if request.method != "POST" or asked is None or not form.is_valid():
        return _back(token, "#consent")
    shop = request.house  # type: ignore[attr-defined]
    try:
        actions.answer_consent(asked, is_yes=form.is_yes, shop=shop, now=now())
    except Refused as error:
        return _order_page(request, found, token, QuestionForm(), status=409, why=str(error))
    return _back(token, "?answered=1#consent")


def _opens(token: str) -> bool:
    return queries.order_by_link(token, day_in(house().zone, now())) is not None


@public
@takes_files(MOST_SENT, _opens)
@require_http_methods(["GET", "HEAD", "POST"])
@by_link(queries.order_by_link)
def sounds(request: HttpRequest, found: Order, token: str) -> HttpResponseBase:
    """Take sound files in. Looked at, the order's page has the form."""
    if request.method != "POST":
        return _back(token, "#sounds")
    form = SoundsForm(request.POST, request.FILES)
    if form.is_valid():
        said = form.cleaned_data
        came = [Came(str(each.name), each) for each in said["sounds"]]
        if not allow("sounds", found.number, MOST_SETS, SETS_WITHIN, now()):
            form.add_error("sounds", _("That is a lot for one day. Send the rest tomorrow."))
            return _order_page(request, found, token, QuestionForm(), status=429, sounds=form)
        try:
            shop = request.house  # type: ignore[attr-defined]
            about, once = said["about"], said["once"]
            actions.send_sounds(found, came, about, once=once, shop=shop, now=now())
        except NotTaken as error:
            form.add_error("sounds", str(error))
        else:
            return _back(token, "?sounds=1#sounds")
    return _order_page(request, found, token, QuestionForm(), status=422, sounds=form)


def _back(token: str, to: str) -> HttpResponse:
    # Not through the session's messages: a customer's browser is given no session for this.
    here = reverse("visitor_order", kwargs={"token": token})
    return HttpResponseRedirect(f"{here}{to}", status=303)


@public
@require_safe
@by_link(queries.order_by_link)
def photo(
    request: HttpRequest, found: Order, token: str, photo_id: int, side: int
) -> HttpResponseBase:
    """A picture of a photo that is shared and of this order; anything else is unknown."""
    return _picture(request, queries.photo_of(found, photo_id), side)


@public
@require_safe
@by_link(queries.order_by_link)
def paper(request: HttpRequest, found: Order, token: str, number: str) -> HttpResponseBase:
    """An invoice, a credit note or a receipt of this order, as PDF; any other is unknown."""
    asked = queries.paper_of(found, number)
    if asked is None:
        return _unknown(request)
    response = HttpResponse(pdf_of(asked), content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="{file_name(asked)}"'
    response["Cache-Control"] = "private, no-store"
    response["Referrer-Policy"] = "no-referrer"
    return response


@public
@require_safe
@by_link(queries.hilt_by_link)
def hilt(request: HttpRequest, found: Hilt, token: str) -> HttpResponseBase:
    """What was done to a hilt and how to look after it: for its owner, for good."""
    return _hilt_page(request, found, token, ReturnForm())


def _opens_hilt(token: str) -> bool:
    return queries.hilt_by_link(token, day_in(house().zone, now())) is not None


@public
@takes_files(MOST_PHOTOGRAPHED, _opens_hilt)
@require_http_methods(["GET", "HEAD", "POST"])
@by_link(queries.hilt_by_link)
def hilt_return(request: HttpRequest, found: Hilt, token: str) -> HttpResponseBase:
    """Announce that a hilt is to come back. Looked at, the hilt's page has the form."""
    here = reverse("visitor_hilt", kwargs={"token": token}) + "#return"
    build = queries.newest_finished(found)
    if request.method != "POST" or build is None:
        return HttpResponseRedirect(here, status=303)
    form = ReturnForm(request.POST, request.FILES)
    if not form.is_valid():
        return _hilt_page(request, found, token, form, 422)
    tries = ("return try", str(found.pk), MOST_RETURN_TRIES, RETURNS_WITHIN, now())
    if not allow(*tries) or not allow("return", str(found.pk), MOST_RETURNS, RETURNS_WITHIN, now()):
        form.add_error(None, _("That was tried often today. Write to us or call us instead."))
        return _hilt_page(request, found, token, form, 429)
    said = form.cleaned_data
    facts, shop = Facts(said["words"], said["cell"]), request.house  # type: ignore[attr-defined]
    try:
        actions.announce_return(
            build, facts, said["photos"], once=said["once"], shop=shop, now=now()
        )
    except NoPicture as error:
        give_back("return", str(found.pk))  # what cannot be read is no announcement
        form.add_error("photos", str(error))
    except NoReturn as error:
        form.add_error(None, str(error))
    if form.errors:
        return _hilt_page(request, found, token, form, 422)
    return HttpResponseRedirect(here, status=303)


def _hilt_page(
    request: HttpRequest, found: Hilt, token: str, form: ReturnForm, status: int = 200
) -> HttpResponse:
    shop = request.house  # type: ignore[attr-defined]
    shown = queries.hilt_page(found, shop, now())
    context = {"shown": shown, "token": token, "return_form": form}
    response = page(request, "visitor/hilt.html", context, status=status)
    # See _order_page: "no-referrer" would have the check for forged forms refuse the form.
    response["Referrer-Policy"] = "same-origin"
    return response


@public
@require_safe
@by_link(queries.hilt_by_link)
def hilt_photo(
    request: HttpRequest, found: Hilt, token: str, photo_id: int, side: int
) -> HttpResponseBase:
    """A picture of a shared photo of the finished work; anything else is unknown."""
    return _picture(request, queries.photo_of_hilt(found, photo_id), side)


@public
@require_safe
@by_link(queries.order_by_link)
def film(
    request: HttpRequest, found: Order, token: str, film_id: int, what: str
) -> HttpResponseBase:
    """A part of a published film of this order: play, download, poster, chapters."""
    return _film(request, queries.film_of(found, film_id), what)


@public
@require_safe
@by_link(queries.hilt_by_link)
def hilt_film(
    request: HttpRequest, found: Hilt, token: str, film_id: int, what: str
) -> HttpResponseBase:
    """The same by the link of the hilt, which does not run out."""
    return _film(request, queries.film_of_hilt(found, film_id), what)


def _film(request: HttpRequest, published: Film | None, what: str) -> HttpResponseBase:
    if published is None:
        return _unknown(request)
    try:
        response = send_part(request, published, what, PHOTO_KEPT_S)
    except Http404:
        return _unknown(request)
    response["Referrer-Policy"] = "no-referrer"
    return response


@public
@require_safe
@by_link(queries.hilt_by_link)
def hilt_booklet(request: HttpRequest, found: Hilt, token: str, size: str) -> HttpResponseBase:
    """The booklet of a hilt in a size of type, as PDF; anything else is unknown."""
    return _booklet(request, queries.booklet_of_hilt(found, size))


@public
@require_safe
@by_link(queries.order_by_link)
def booklet(
    request: HttpRequest, found: Order, token: str, number: int, size: str
) -> HttpResponseBase:
    """The booklet of a build of this order that has left, as PDF; anything else is unknown."""
    return _booklet(request, queries.booklet_of_order(found, number, size))


def _booklet(request: HttpRequest, asked: Booklet | None) -> HttpResponse:
    answer = booklet_file(asked, str(asked.build)) if asked else None
    if answer is None:
        return _unknown(request)
    answer["Referrer-Policy"] = "no-referrer"
    return answer


def _picture(request: HttpRequest, shared: Photo | None, side: int) -> HttpResponseBase:
    if shared is None or rendition_of(shared.blob, side) is None:
        return _unknown(request)
    response = send_rendition(request, shared.blob, side)
    response["Cache-Control"] = f"private, max-age={PHOTO_KEPT_S}"
    response["Referrer-Policy"] = "no-referrer"
    return response


def _order_page(
    request: HttpRequest,
    found: Order,
    token: str,
    form: QuestionForm,
    status: int = 200,
    why: str = "",
    sounds: SoundsForm | None = None,
) -> HttpResponse:
    shop = request.house  # type: ignore[attr-defined]
    context = {
        "shown": queries.order_page(found, shop, now()),
        "token": token,
        "form": form,
        "asked": "asked" in request.GET,
        "offers": quotes_told(found, day_in(shop.zone, now())),
        "askings": askings_of(found),
        "answered": "answered" in request.GET,
        "no_form": YesNoForm(),
        "why": why,
        "sounds": sounds or SoundsForm(),
        "sounds_came": "sounds" in request.GET,
    }
    response = page(request, "visitor/order.html", context, status=status)
    # "no-referrer" would make browsers post the question with "Origin: null", which the check
    # for forged forms refuses. This one tells other sites just as little.
    response["Referrer-Policy"] = "same-origin"
    return response


def _unknown(request: HttpRequest, guessed: bool = False) -> HttpResponse:
    """One answer for a link that is wrong, revoked, expired or unknown.

    A right link is never refused for the wrong ones before it: its proof cannot be guessed, and
    behind a proxy or a telephone network many customers share one address.
    """
    status = 404
    if guessed and not allow("link", caller_key(request), MOST_GUESSES, GUESSES_WITHIN, now()):
        status = 429
    response = page(request, "visitor/unknown.html", status=status)
    response["Referrer-Policy"] = "no-referrer"
    return response


def _too_many(request: HttpRequest) -> str:
    said = _(
        "That was the fifth question within an hour. Your words are still here: send them later."
    )
    mailbox = request.house.email  # type: ignore[attr-defined]
    return f"{said} {_('Or write to %s.') % mailbox}" if mailbox else said
