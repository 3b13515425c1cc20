"""Claims: dead or wrong parts go back to who sold them, and what comes of it."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.house.speech import speaking_to_the_shop
from shop.people.models import User
from shop.stores.actions.stock import receive, write_off
from shop.stores.models import Claim, ClaimState, Part, PurchaseLine, StockLevel, Supplier
from shop.stores.refusals import Overtaken, Refused

_SETTLED = {ClaimState.REPLACED, ClaimState.CREDITED, ClaimState.REFUSED}


@transaction.atomic
def open_claim(
    part: Part,
    quantity: int,
    *,
    supplier: Supplier,
    fault: str,
    serial: str,
    about: str,
    whose: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Claim:
    """Open a claim for dead parts. The same token twice is one claim.

    Out of stock they are written off here; what sat in a build left stock as it was fitted.

    :param about: the key of the build that it was found in, ``whose`` in words; empty: in stock.
    :raises Short: less than that lies free in stock.
    """
    StockLevel.objects.select_for_update().filter(part=part).first()  # one at a time
    done = Claim.objects.filter(token=token).first()
    if done:
        return done
    _check(quantity, fault)
    if not about:
        with speaking_to_the_shop():
            reason = _("claim: %s") % fault.strip()
        write_off(part, quantity, reason=reason[:200], token=uuid5(token, "dead"), by=by, now=now)
    claim = Claim.objects.create(
        token=token, supplier=supplier, part=part, quantity=quantity, serial=serial.strip(),
        line=_bought_with(part, supplier), fault=fault.strip(), about=about, whose=whose,
        state_since=now, made_at=now, made_by=by,
    )  # fmt: skip
    for key in filter(None, (_key(claim), part.about, about)):
        record("claim_opened", key, by, now, part=part.name, quantity=quantity)
    return claim


def _check(quantity: int, fault: str) -> None:
    if quantity < 1:
        raise Refused(_("Type a number of 1 or more."))
    if not fault.strip():
        raise Refused(_("Say what is wrong with it."))


def _bought_with(part: Part, supplier: Supplier) -> PurchaseLine | None:
    """The newest order with which some of it came from them."""
    lines = PurchaseLine.objects.filter(
        part=part,
        purchase__supplier=supplier,
        came__isnull=False,
        came__delivery__taken_back_at=None,
    )
    return lines.order_by("-purchase__ordered_at", "-pk").first()


@transaction.atomic
def move_claim(claim_id: int, to: str, *, seen: str, by: User, now: datetime, token: UUID) -> Claim:
    """Write down how far a claim has come; replaced ones go to stock. Told twice is told once.

    :param seen: the state that the person saw.
    :raises Overtaken: somebody has moved it on since.
    :raises Refused: it is settled already.
    """
    claim = Claim.objects.select_for_update(of=("self",)).select_related("part").get(pk=claim_id)
    if claim.state == to:
        return claim
    if claim.state != seen:
        raise Overtaken(
            _("This claim is at “%s” already; nothing was changed.") % claim.get_state_display()
        )
    if claim.state in _SETTLED or to == ClaimState.OPEN:
        raise Refused(_("This claim is settled. Open a new one if need be."))
    claim.state, claim.state_since = to, now
    claim.save(update_fields=["state", "state_since"])
    if to == ClaimState.REPLACED:
        with speaking_to_the_shop():
            reason = _("replaced on a claim")
        receive(
            claim.part, claim.quantity, token=uuid5(token, "new"), by=by, now=now, reason=reason
        )
    verb = {
        ClaimState.SENT: "claim_sent",
        ClaimState.REPLACED: "claim_replaced",
        ClaimState.CREDITED: "claim_credited",
        ClaimState.REFUSED: "claim_refused",
    }[ClaimState(to)]
    record(verb, _key(claim), by, now)
    return claim


def _key(claim: Claim) -> str:
    return f"claim:{claim.pk}"
