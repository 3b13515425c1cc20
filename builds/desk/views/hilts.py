"""The private link to a finished hilt's own page: made, given a new address, closed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.hilts.models import Hilt
from builds.progress.linking import hilt_link
from shop.clock import now
from shop.post.actions import renew, revoke
from shop.post.queries import links_to
from shop.web.access import owner_only, staff
from shop.web.partials import done


@owner_only
@require_POST
def hilt_link_renew(request: HttpRequest, pk: int) -> HttpResponse:
    """Make the link to a hilt's page, or give it a new address: the old one opens nothing."""
    hilt = get_object_or_404(Hilt, pk=pk)
    link = links_to([hilt.about]).get(hilt.about)
    if link is None:
        hilt_link(hilt, now())
        return _done(request, hilt, _("The link is made."))
    renew(link, staff(request), now())
    return _done(request, hilt, _("The old link is dead; the new one is below."))


@owner_only
@require_POST
def hilt_link_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Close the link to a hilt's page."""
    hilt = get_object_or_404(Hilt, pk=pk)
    link = links_to([hilt.about]).get(hilt.about)
    if link:
        revoke(link, staff(request), now())
    return _done(request, hilt, _("The link is closed: whoever has it sees nothing."))


def _done(request: HttpRequest, hilt: Hilt, said: str) -> HttpResponse:
    return done(request, reverse("desk_customer", args=[hilt.customer_id]) + "#pages", said)
