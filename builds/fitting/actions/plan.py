"""What is decided about a build as a whole: its chassis, the kit that it follows."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import open_build
from builds.fitting.models import Chassis, Plan
from builds.fitting.refusals import Refused
from builds.progress.models import Build
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def choose_chassis(build: Build, chassis: str, *, by: User, now: datetime) -> Plan:
    """Say whether the chassis comes out again. Chosen twice is chosen once."""
    build = open_build(build.pk)
    if chassis not in Chassis.values:
        raise Refused(_("Choose one of the list."))
    plan = plan_of(build)
    if plan.chassis != chassis:
        plan.chassis = chassis
        plan.save(update_fields=["chassis"])
        record("chassis_chosen", build.about, by, now, chassis=chassis)
    return plan


def plan_of(build: Build) -> Plan:
    """The plan of a build, made where there is none yet; under the build's lock."""
    plan, _is_new = Plan.objects.get_or_create(build=build)
    return plan
