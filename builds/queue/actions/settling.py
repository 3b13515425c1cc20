"""Writes down how promises ended, once their builds have left finished."""

from datetime import datetime

from django.db import transaction

from builds.progress.models import Build, Hold
from builds.progress.states import FINISHED, UNDO_WITHIN
from builds.queue.models import Outcome, Promise
from builds.queue.queries.dues import customer_waits, due_at
from builds.queue.queries.ready import was_ready
from shop.clock import ago, day_in
from shop.diary.queries import Calendar, calendar
from shop.house.queries import house

AT_ONCE = 400  # builds


def settle(now: datetime) -> int:
    """Say of every promise of builds that left whether it held; each once.

    Not within the minute in which a leaving can be taken back.

    :returns: how many promises were settled now.
    """
    over = ago("build__state_since", UNDO_WITHIN, now)
    open_ones = Promise.objects.filter(over, outcome=None, build__state__in=FINISHED)
    ids = open_ones.order_by("build").values_list("build", flat=True).distinct()[:AT_ONCE]
    return _settle(list(Build.objects.filter(pk__in=list(ids))), calendar(house()))


@transaction.atomic
def _settle(builds: list[Build], diary: Calendar) -> int:
    waits = customer_waits(build.pk for build in builds)
    told: dict[int, list[Promise]] = {}
    for promise in Promise.objects.filter(build__in=builds).select_related("build").order_by("pk"):
        told.setdefault(promise.build_id, []).append(promise)
    ready = was_ready(builds)
    rows = [
        row
        for build in builds
        for row in _outcomes(
            ready.get(build.pk, build.state_since), told[build.pk], waits.get(build.pk, []), diary
        )
    ]
    # Two sweeps at once write the same rows: the second ones are left out.
    Outcome.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)


def _outcomes(
    left: datetime, told: list[Promise], waits: list[Hold], diary: Calendar
) -> list[Outcome]:
    """What became of the days told of one build.

    :param left: when it left; of one that was collected, from when it stood ready for that.
    """
    return [
        Outcome(
            promise=promise,
            due=due_at(promise, waits, diary, left),
            left_on=day_in(diary.zone, left),
            is_first=before is None,
            is_last=promise == told[-1],
            moved_days=_moved(promise, before, waits, diary),
        )
        for before, promise in zip([None, *told], told, strict=False)
    ]


def _moved(promise: Promise, before: Promise | None, waits: list[Hold], diary: Calendar) -> int:
    """By how many days a promise moved what stood, beyond the customer's own waiting."""
    if before is None:
        return 0
    return (promise.day - due_at(before, waits, diary, promise.at)).days
