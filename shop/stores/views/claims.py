"""Claims for dead parts: the list, one of them, a new one."""

from uuid import uuid4

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.clock import now
from shop.history.queries import entries_about
from shop.stores.actions import claims as actions
from shop.stores.forms.claims import ClaimForm, ClaimMoveForm
from shop.stores.models import Claim, ClaimState, Part
from shop.stores.queries import claims as queries
from shop.stores.queries.levels import amount
from shop.stores.refusals import Refused
from shop.web.access import staff
from shop.web.partials import done, page, refused

FRAME = {"room": "stores", "here": "claims"}
A_PAGE = 25
NEXT = {
    ClaimState.OPEN: (
        ClaimState.SENT,
        ClaimState.REPLACED,
        ClaimState.CREDITED,
        ClaimState.REFUSED,
    ),
    ClaimState.SENT: (ClaimState.REPLACED, ClaimState.CREDITED, ClaimState.REFUSED),
}


@require_safe
def claims(request: HttpRequest) -> HttpResponse:
    """Claims that wait, the oldest first; the settled ones where they are asked for."""
    settled = request.GET.get("show") == "settled"
    rows = queries.settled_claims() if settled else queries.waiting_claims()
    found = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    moment = now()
    shown = [
        (claim, amount(claim.part, claim.quantity), queries.is_old(claim, moment))
        for claim in list(found.object_list)
    ]
    counts = queries.claim_counts()
    context = {"page_obj": found, "claims": shown, "settled": settled, "counts": counts}
    return page(request, "stores/claims.html", FRAME | context)


@require_http_methods(["GET", "HEAD", "POST"])
def claim_new(request: HttpRequest) -> HttpResponse:
    """Claim for a dead part out of stock."""
    form = ClaimForm(request.POST or None, initial=_initial(request))
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.open_claim(
                **form.cleaned_data, about="", whose="", by=staff(request), now=now()
            )
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _page_of(made), _("Claimed; it is out of stock."))
    status = 422 if request.method == "POST" else 200
    return page(request, "stores/claim_new.html", FRAME | {"form": form}, status=status)


def _initial(request: HttpRequest) -> dict[str, object]:
    asked = request.GET.get("part", "")
    part = Part.objects.filter(pk=asked).first() if asked.isdecimal() and len(asked) < 10 else None
    known = {"part": part.pk, "supplier": part.supplier_id} if part else {}
    return {"token": uuid4(), **known}


@require_safe
def claim(request: HttpRequest, pk: int) -> HttpResponse:
    """One claim: what is wrong, how far it has come, and what may follow."""
    found = get_object_or_404(queries.claims(), pk=pk)
    context = {
        "claim": found,
        "amount": amount(found.part, found.quantity),
        "steps": [
            (to.value, queries.STEPS[to], uuid4()) for to in NEXT.get(ClaimState(found.state), ())
        ],
        "is_old": queries.is_old(found, now()),
        "history": entries_about(f"claim:{found.pk}"),
    }
    return page(request, "stores/claim.html", FRAME | context)


@require_POST
def claim_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down how far a claim has come."""
    found = get_object_or_404(Claim, pk=pk)
    form = ClaimMoveForm(request.POST)
    if not form.is_valid():
        return refused(request, _page_of(found), _("This page is out of date. Look at it anew."))
    try:
        actions.move_claim(found.pk, **form.cleaned_data, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _page_of(found), str(error))
    return done(request, _page_of(found))


def _page_of(found: Claim) -> str:
    return reverse("stores_claim", args=[found.pk])
