"""Tell the customer: one tap opens it with the fitting words, the next one sends."""

from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.bench.actions import tell as actions
from builds.bench.forms.tell import SaidForm, TellForm
from builds.bench.queries import tell as queries
from builds.bench.views.sheet import build_of
from builds.progress.models import Build
from builds.queue.wording import Stand, customer_of, stand_of, values, words_for
from shop.clock import now
from shop.diary.queries import calendar
from shop.post.models import Message, Occasion
from shop.post.queries import share_links, url_of
from shop.post.wording import Text, with_link
from shop.web.access import staff
from shop.web.partials import done, next_url, page


@require_http_methods(["GET", "HEAD", "POST"])
def tell(request: HttpRequest, number: int) -> HttpResponse:
    """Show the message for the fitting occasion, open for a change; send it."""
    stand = _stand(request, build_of(number))
    if request.method != "POST":
        return _show(request, stand, _occasion(stand, request.GET.get("occasion", "")))
    occasion = _occasion(stand, request.POST.get("occasion", ""))
    form = _tell_form(request, stand, occasion, request.POST)
    if form.is_valid():
        try:
            message = _send(request, stand, occasion, form.cleaned_data)
        except actions.Refused as error:
            # A tap that follows is meant anew: it gets a token of its own.
            again = request.POST.copy()
            again["token"] = str(uuid4())
            form = _tell_form(request, stand, occasion, again)
            form.add_error(None, str(error))
        else:
            return done(request, _back(request, stand.build), _said(message))
    return _show(request, stand, occasion, tell_form=form, status=422)


@require_POST
def said(request: HttpRequest, number: int) -> HttpResponse:
    """Note what was said by telephone, in a chat or in person."""
    stand = _stand(request, build_of(number))
    form = SaidForm(request.POST, request.FILES, auto_id="said_%s")
    if form.is_valid() and _noted(request, stand.build, form):
        return done(request, _back(request, stand.build), _("Noted."))
    occasion = _occasion(stand, request.POST.get("occasion", ""))
    return _show(request, stand, occasion, said_form=form, status=422)


def _noted(request: HttpRequest, build: Build, form: SaidForm) -> bool:
    shop = request.house  # type: ignore[attr-defined]
    values, words = form.cleaned_data, form.how_words
    try:
        actions.note_said(build, **values, how_words=words, shop=shop, by=staff(request), now=now())
    except actions.NoPicture as refusal:
        form.add_error("screenshot", str(refusal))
    except actions.Refused as refusal:
        form.add_error("said_at", str(refusal))
    return not form.errors


def _stand(request: HttpRequest, build: Build) -> Stand:
    return stand_of(build, calendar(request.house), now())  # type: ignore[attr-defined]


def _occasion(stand: Stand, asked: str) -> Occasion:
    may = queries.possible(stand)
    return next((one for one in may if one.value == asked), queries.fitting(stand))


def _tell_form(
    request: HttpRequest, stand: Stand, occasion: Occasion, data: Any = None
) -> TellForm:
    shop = request.house  # type: ignore[attr-defined]
    text = words_for(stand, occasion, shop)
    return TellForm(
        data,
        values=values(stand, occasion, shop),
        pick_from=queries.photos_to_pick(stand.build),
        initial={
            "token": uuid4(),
            "occasion": occasion.value,
            "subject": text.subject,
            "body": text.body,
        },
    )


def _send(
    request: HttpRequest, stand: Stand, occasion: Occasion, values: dict[str, Any]
) -> Message:
    return actions.tell(
        stand,
        token=values["token"],
        occasion=occasion,
        text=Text(values["subject"], values["body"]),
        photos=values["photos"],
        share=values["share"],
        by=staff(request),
        now=now(),
    )


def _show(
    request: HttpRequest,
    stand: Stand,
    occasion: Occasion,
    tell_form: BaseForm | None = None,
    said_form: BaseForm | None = None,
    status: int = 200,
) -> HttpResponse:
    shop = request.house  # type: ignore[attr-defined]
    link = actions.page_link(stand.build, now())
    url = url_of(link, shop)
    text = words_for(stand, occasion, shop)
    plain = Text(text.subject, with_link(text.body, url))
    fresh = SaidForm(
        initial={
            "token": uuid4(),
            "occasion": occasion.value,
            "words": plain.body,
            "said_at": now(),
        },
        auto_id="said_%s",
    )
    context = {
        **queries.page_data(stand, occasion, shop),
        "hint": queries.day_hint(stand, occasion, calendar(shop), now()),
        "form": tell_form or _tell_form(request, stand, occasion),
        "said_form": said_form or fresh,
        "link_url": url,
        "is_revoked": link.revoked_at is not None,
        "share_links": share_links(customer_of(stand.build), plain),
    }
    return page(request, "bench/tell.html", context, status=status)


def _back(request: HttpRequest, build: Build) -> str:
    return next_url(request, reverse("bench_sheet", args=[build.number]) + "#told")


def _said(message: Message) -> str:
    who = message.customer.called if message.customer else ""
    if message.cause:
        return _("%s is told a minute after the move, unless you take it back.") % who
    return _("On its way to %s.") % who
