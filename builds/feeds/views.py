"""The page of the feeds, and the feed itself."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from hashlib import sha256
from uuid import uuid4

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import http_date, quote_etag
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.feeds import actions
from builds.feeds.feed_text import feed_text
from builds.feeds.forms import FeedForm
from builds.feeds.queries.addresses import (
    feed_at,
    feeds_for,
    is_this_machine,
    own_feeds,
    this_shop,
)
from builds.feeds.queries.events import events
from builds.feeds.queries.told import changed_last
from builds.feeds.values import Told
from shop.clock import day_in, now
from shop.house.models import House
from shop.house.queries import house
from shop.house.speech import known, speaking_as
from shop.web.access import caller_key, public, staff
from shop.web.partials import done, page, refused
from shop.web.throttle import allow

MOST_GUESSES, GUESSES_WITHIN = 20, timedelta(minutes=10)


@require_http_methods(["GET", "HEAD", "POST"])
def feeds(request: HttpRequest) -> HttpResponse:
    """One's own feeds with their addresses; for the owner, everybody's to revoke."""
    form = FeedForm(request.POST or None, initial={"token": uuid4()})
    if not form.is_valid():
        return _show(request, form)
    facts = form.cleaned_data
    try:
        actions.make_feed(facts["name"], token=facts["token"], by=staff(request), now=now())
    except actions.Refused as error:
        form.add_error(None, str(error))
        return _show(request, form)
    said = _("Made. Copy its address into your calendar.")
    return done(request, reverse("feeds_feeds"), said)


def _show(request: HttpRequest, form: FeedForm) -> HttpResponse:
    shop, person = house(), staff(request)
    base = shop.public_url or shop.bench_url or request.build_absolute_uri("/")
    live = list(feeds_for(person).filter(revoked_at=None))
    context = {
        "form": form,
        "own": own_feeds(live, person, base),
        "others": [feed for feed in live if feed.person_id != person.pk],
        "today": day_in(shop.zone, now()),
        "is_in_house_only": not shop.public_url,
        "is_this_machine": is_this_machine(base),
    }
    return page(request, "feeds/feeds.html", context, status=422 if form.errors else 200)


@require_POST
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Close an address for good."""
    feed = get_object_or_404(feeds_for(staff(request)), pk=pk)
    to = reverse("feeds_feeds")
    try:
        actions.revoke_feed(feed.pk, by=staff(request), now=now())
    except actions.Overtaken as error:
        return refused(request, to, str(error))
    return done(request, to, _("Revoked. Its address opens nothing any more."))


@public
@require_safe
def read(request: HttpRequest, token: str) -> HttpResponseBase:
    """The feed, for a calendar that knows its address; what it has already is not sent again."""
    feed, moment = feed_at(token), now()
    if feed is None:
        return _unknown(request)
    shop = house()
    with speaking_as(shop):  # what changed is kept once for all feeds, whoever reads
        told = actions.tell(events(shop, moment), moment)
    since = changed_last() or moment
    with speaking_as(shop, feed.person.language):
        name = _("%s: promises and dispatch days") % shop.name
        told = _in_their_words(told, shop, moment)
    answer = HttpResponse(
        feed_text(name, told, since, this_shop()),
        content_type="text/calendar; charset=utf-8",
        headers={"Cache-Control": "private, no-cache", "Referrer-Policy": "no-referrer"},
    )
    actions.note_read(feed, day_in(shop.zone, moment))
    return _or_unchanged(request, answer, since, moment)


def _in_their_words(told: Sequence[Told], shop: House, moment: datetime) -> list[Told]:
    """The same events in the language that is spoken now."""
    if get_language() == (known(shop.language) or settings.LANGUAGE_CODE):
        return list(told)
    said = {event.key: event for event in events(shop, moment)}
    return [replace(each, event=said.get(each.event.key, each.event)) for each in told]


def _or_unchanged(
    request: HttpRequest, answer: HttpResponse, since: datetime, moment: datetime
) -> HttpResponseBase:
    answer["ETag"] = quote_etag(sha256(answer.content).hexdigest())
    changed = int(since.timestamp())
    # Within the same second something may still change: that second tells nothing.
    if changed < int(moment.timestamp()):
        answer["Last-Modified"] = http_date(changed)
    etag = answer["ETag"]
    return get_conditional_response(request, etag, changed, response=answer) or answer


def _unknown(request: HttpRequest) -> HttpResponse:
    """One answer for an address that is wrong, revoked or unknown.

    A right one is never refused for the wrong ones before it: it cannot be guessed, and behind a
    proxy or a telephone network many callers share one address.
    """
    allowed = allow("feed", caller_key(request), MOST_GUESSES, GUESSES_WITHIN, now())
    answer = HttpResponse(
        _("There is no calendar at this address.") + "\n",
        content_type="text/plain; charset=utf-8",
        status=404 if allowed else 429,
    )
    answer["Referrer-Policy"] = "no-referrer"
    return answer
