"""Parts found dead in a build or before they went in: claimed for, and wanted anew."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import end, held, let_go, own, whose
from builds.fitting.actions.parts import plan_part
from builds.fitting.models import BuildPart
from builds.fitting.refusals import Refused
from builds.fitting.states import PartState
from shop.people.models import User
from shop.stores.actions import stock
from shop.stores.actions.claims import open_claim
from shop.stores.models import Claim, Part, Supplier


@transaction.atomic
def mark_dead(
    build_part: BuildPart,
    fault: str,
    *,
    many: int,
    supplier: Supplier,
    token: UUID,
    by: User,
    now: datetime,
) -> Claim:
    """Claim for dead pieces of a part; what took its place on the list is planned. Twice is once.

    What was fitted has left the stores; what was not is written off here.

    :raises Refused: it is the customer's own, or so many are not in the line.
    """
    done = Claim.objects.filter(token=token).first()
    if done:
        return done
    found = held(build_part.pk)
    if found.part is None:
        raise Refused(_("It is the customer's own part: take it off the list and say why."))
    if not 1 <= many <= found.quantity:
        raise Refused(_("No more than %d stand in this line.") % found.quantity)
    claim = open_claim(
        found.part, many, supplier=supplier, fault=fault, serial=found.serial,
        about=found.build.about, whose=whose(found.build), token=token, by=by, now=now,
    )  # fmt: skip
    if found.state == PartState.FITTED:
        _wanted_anew(found, found.part, many, fault, token, by, now)
    else:
        let_go(found, token, fault, by, now)
        stock.write_off(
            found.part, many, reason=fault.strip()[:200], token=own(token, "dead"), by=by, now=now,
            about=found.build.about, whose=whose(found.build),
        )  # fmt: skip
    return claim


def _wanted_anew(
    found: BuildPart, part: Part, many: int, fault: str, token: UUID, by: User, now: datetime
) -> None:
    """A new line in the place of the dead pieces; the others stay fitted."""
    new = plan_part(
        found.build, part, many, section=found.section, token=own(token, "anew"), by=by, now=now
    )
    new.position, new.lies_on, new.starts_mm = found.position, found.lies_on, found.starts_mm
    new.save(update_fields=["position", "lies_on", "starts_mm"])
    if many < found.quantity:
        found.quantity -= many
        found.save(update_fields=["quantity"])
        return
    found.carries.filter(ended_at=None).update(lies_on=new)
    end(found, _("dead: %s") % fault.strip(), now)
