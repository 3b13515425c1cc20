"""A shop whose dates can be reckoned: finished builds behind a kind, parts that are awaited."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from random import Random
from uuid import uuid4

from builds.models import Build
from builds.progress.actions import hold
from builds.progress.models import Stretch
from builds.progress.states import ON_THE_RULE, Kind, State
from shop.models import User
from shop.stores.models import PurchaseLine
from tests.makers import make_build, make_part
from tests.stores.orders import line_of, make_ordered

HOURS = dict(zip(ON_THE_RULE, (0.7, 1.6, 6.0, 1.4, 0.6), strict=True))


def finished(many: int, by: User, now: datetime, kind: str = Kind.FULL) -> list[Build]:
    """So many builds of a kind that were timed and sent, none like the other."""
    random, made = Random(5), []  # noqa: S311 – hours, not secrets
    for nth in range(many):
        build = make_build(by, now, kind=kind)
        ended = (now - timedelta(days=20 + nth)).replace(hour=11)
        Build.objects.filter(pk=build.pk).update(state=State.SENT, state_since=ended, tray=None)
        Stretch.objects.bulk_create(
            _worked(build, stage, hours * random.lognormvariate(0, 0.3), ended, by)
            for stage, hours in HOURS.items()
        )
        made.append(build)
    return made


def _worked(build: Build, stage: str, hours: float, ended: datetime, by: User) -> Stretch:
    minutes = round(hours * 60)
    return Stretch(
        build=build, token=uuid4(), stage=stage, by=by, begun_at=ended - timedelta(minutes=minutes),
        ended_at=ended, minutes=minutes, said_at=ended, said_by=by,
    )  # fmt: skip


def wait_for_one_part(
    builds: Sequence[Build], by: User, now: datetime, expected_on: date
) -> PurchaseLine:
    """Builds that wait for the same line of a purchase order."""
    part = make_part(by, now, 0)
    made = make_ordered(by, now, (part, len(builds)), expected_on=expected_on)
    line = line_of(made, part)
    for build in builds:
        fields = {
            "reason": "parts", "turn": "supplier", "words": "speaker", "before": "",
            "chase_on": (now + timedelta(days=5)).date(), "line": line,
        }  # fmt: skip
        hold(build.pk, fields=fields, by=by, now=now)
    return line
