"""A kit's parts put on a build's list at one tap, and a kit made of such a list."""

from collections import Counter
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import open_build, own
from builds.fitting.actions.parts import plan_part
from builds.fitting.actions.plan import plan_of
from builds.fitting.models import BuildPart
from builds.fitting.refusals import Refused
from builds.progress.models import Build
from shop.history.actions import record
from shop.people.models import User
from shop.stores.actions.kits import add_kit, put_in_kit
from shop.stores.models import Kit, Part


@transaction.atomic
def plan_kit(build: Build, kit: Kit, *, token: UUID, by: User, now: datetime) -> list[BuildPart]:
    """Put every part of a kit on the list; the build's plan notes the kit. Twice is once."""
    build = open_build(build.pk)
    lines = list(kit.lines.select_related("part"))
    if not lines or kit.retired:
        raise Refused(_("The kit %s has no parts, or is no longer used.") % kit)
    planned = [
        plan_part(
            build, line.part, line.quantity, section=None, token=own(token, str(line.pk)),
            by=by, now=now,
        )
        for line in lines
    ]  # fmt: skip
    plan = plan_of(build)
    if plan.kit_id != kit.pk:
        plan.kit = kit
        plan.save(update_fields=["kit"])
        record("kit_used", build.about, by, now, kit=kit.name)
    return planned


@transaction.atomic
def kit_of_build(build: Build, name: str, *, token: UUID, by: User, now: datetime) -> Kit:
    """Make a kit of the stores' parts on a build's list. The same token twice is one kit.

    :raises Refused: there are none.
    """
    wanted: Counter[Part] = Counter()
    for listed in build.parts.filter(ended_at=None).select_related("part"):
        if listed.part:
            wanted[listed.part] += listed.quantity
    if not wanted:
        raise Refused(_("There is no part of the stores on the list yet."))
    kit = add_kit(name, "", token=token, by=by, now=now)
    for part, quantity in wanted.items():
        put_in_kit(kit.pk, part, quantity, by=by, now=now)
    return kit
