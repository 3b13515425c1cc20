"""A kit's parts put on a build's list at one tap."""

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
from shop.stores.models import Kit


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
