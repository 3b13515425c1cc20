"""The order of the line: what a move would do, before it is kept."""

from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.queue.actions.once import Refused
from builds.queue.actions.ordering import keep_order
from builds.queue.effects import AFTER, DOWN, FIRST, UP, moved
from builds.queue.forms.trying import KeepOrderForm, MoveForm
from builds.queue.queries.compared import compared
from builds.queue.queries.line import line
from builds.queue.values import in_order
from builds.queue.views.dates import refresh
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused


@require_safe
def order(request: HttpRequest, number: int) -> HttpResponse:
    """What happens to everybody's dates if one build goes elsewhere in the line."""
    builds = {build.number: build for build in open_builds()}
    if number not in builds:
        raise Http404
    form = MoveForm(request.GET)
    form.is_valid()
    return _show(request, builds[number], builds, form)


def _show(
    request: HttpRequest, build: Build, builds: dict[int, Build], form: MoveForm
) -> HttpResponse:
    found = line(now())
    keys = [job.key for job in found.jobs]
    by_key = {each.pk: each for each in builds.values()}
    after = builds.get(form.cleaned_data.get("after") or 0)
    to = form.cleaned_data.get("to") or ""
    is_tried = bool(to) and (to != AFTER or after is not None)
    context = {
        "room": "dates",
        "build": build,
        "place": keys.index(build.pk) + 1,
        "others": [by_key[key] for key in keys if key in by_key and key != build.pk],
        "to": to,
        "after": after,
        "seen": ",".join(map(str, keys)),
        "token": uuid4(),
        "is_tried": is_tried,
    }
    if is_tried:
        wanted = moved(keys, build.pk, to, after.pk if after else None)
        context |= {
            "title": _title(build, to, after),
            "is_same": wanted == keys,
            "new_place": wanted.index(build.pk) + 1,
            "found": compared(found, in_order(found, wanted), build.pk),
        }
    return page(request, "queue/order.html", context)


def _title(build: Build, to: str, after: Build | None) -> str:
    name = build.hilt or build.blade or build
    words = {
        FIRST: _("If %(build)s goes first"),
        UP: _("If %(build)s goes one up"),
        DOWN: _("If %(build)s goes one down"),
        AFTER: _("If %(build)s goes after %(after)s"),
    }
    behind = (after.hilt or after.blade or after) if after else ""
    return words[to] % {"build": name, "after": behind}


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the order that was tried."""
    to = reverse("queue_dates")
    form = KeepOrderForm(request.POST)
    builds = {build.number: build for build in open_builds()}
    if not form.is_valid() or number not in builds:
        return refused(request, to, _("That page was out of date. Here is how things stand."))
    data = form.cleaned_data
    after = builds.get(data["after"] or 0)
    try:
        keep_order(
            builds[number].pk,
            data["to"],
            after.pk if after else None,
            seen=data["seen"],
            token=data["token"],
            by=staff(request),
            now=now(),
        )
    except Refused as error:
        return refused(request, to, str(error))
    refresh()
    return done(request, to, _("The line stands in the new order."))
