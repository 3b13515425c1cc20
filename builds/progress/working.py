"""Times the work on builds. One timer a person; a move of the build ends it."""

from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.models import Build, Stretch
from builds.progress.queries import locked
from builds.progress.refusals import Refused
from builds.progress.states import MOST_MINUTES, ON_THE_RULE, Spent
from builds.progress.worked import is_rework
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def begin_work(
    build_id: int, *, token: UUID, spent_on: str = "", by: User, now: datetime
) -> Stretch:
    """Start somebody's timer on a build; what ran for that person elsewhere ends.

    :param spent_on: empty: rework where the stage was done before, else the work itself.
    :param now: when it was tapped, which may be a while ago.
    :raises Refused: nothing can be worked on, or the person's timer elsewhere began later.
    """
    build = locked(build_id)
    done = Stretch.objects.filter(token=token).first()
    if done:
        return done
    if build.state not in ON_THE_RULE:
        raise Refused(_("There is nothing to work on: it is in %s.") % build.get_state_display())
    here = Stretch.objects.filter(by=by, ended_at=None, build=build, stage=build.state).first()
    if here:
        return here  # it runs already, as on another tablet
    begun = max(now, build.state_since)  # a tap that waited may be older than the stage
    _hand_over(_mine_running(by), begun)
    spent_on = spent_on or (Spent.REWORK if is_rework(build) else Spent.WORK)
    return Stretch.objects.create(
        build=build, token=token, stage=build.state, spent_on=spent_on, by=by, begun_at=begun
    )


def _mine_running(by: User) -> list[Stretch]:
    # The person's own row is the lock: two tablets of one person start one timer after the other.
    User.objects.select_for_update().get(pk=by.pk)
    running = Stretch.objects.select_for_update(of=("self",)).select_related("build", "by")
    return list(running.filter(by=by, ended_at=None))


def _hand_over(running: list[Stretch], begun: datetime) -> None:
    for stretch in running:
        if stretch.begun_at > begun:
            where = stretch.build.hilt or stretch.build
            raise Refused(_("Your timer on %s began later. It runs on.") % where)
        _end(stretch, begun)


@transaction.atomic
def end_work(stretch_id: int, *, by: User, now: datetime) -> Stretch:
    """Stop a timer. Stopped twice is stopped once; anybody at the bench may stop it."""
    stretch = _locked(stretch_id)
    if stretch.ended_at is None:
        _end(stretch, now)
    return stretch


def end_on(build: Build, now: datetime) -> None:
    """End all that runs on a build. Part of a move, under the build's lock."""
    # Without whose they are: a move waits for this, and mostly nothing runs.
    for stretch in Stretch.objects.filter(build=build, ended_at=None):
        stretch.build = build
        _end(stretch, now)


def go_on_after(build: Build, ended_at: datetime) -> None:
    """Let run again what a move ended that is taken back, unless its person works elsewhere."""
    busy = Stretch.objects.filter(ended_at=None).values("by")
    ended = Stretch.objects.filter(build=build, ended_at=ended_at, said_at=None)
    ended.exclude(by__in=busy).update(ended_at=None, minutes=None)


def _end(stretch: Stretch, now: datetime) -> None:
    stretch.ended_at = max(now, stretch.begun_at)
    stretch.minutes = round((stretch.ended_at - stretch.begun_at).total_seconds() / 60)
    stretch.save(update_fields=["ended_at", "minutes"])
    facts = {"stage": stretch.stage, "minutes": stretch.minutes, "spent_on": stretch.spent_on}
    record("worked", stretch.build.about, stretch.by, now, **facts)


@transaction.atomic
def put_work_right(
    stretch_id: int, *, minutes: int, stage: str, spent_on: str, seen: datetime | None,
    by: User, now: datetime,
) -> Stretch:  # fmt: skip
    """Say how long a stretch was, and on what; one that runs still ends with it.

    :param seen: when it had last been put right on the page that was shown.
    :raises Refused: it is somebody else's, or was put right meanwhile.
    """
    stretch = _locked(stretch_id)
    if not (by.is_owner or stretch.by_id == by.pk):
        raise Refused(_("Only %s or the owner can put this right.") % stretch.by.name)
    if stretch.said_at != seen and stretch.said_by:
        raise Refused(_("%s put it right meanwhile. Look at it anew.") % stretch.said_by.name)
    _check(minutes, stage, spent_on)
    was = stretch.minutes
    stretch.minutes, stretch.stage, stretch.spent_on = minutes, stage, spent_on
    stretch.ended_at = stretch.begun_at + timedelta(minutes=minutes)
    stretch.said_at, stretch.said_by = now, by
    stretch.save()
    record(
        "work_put_right", stretch.build.about, by, now,
        stage=stage, minutes=minutes, spent_on=spent_on, was=was if was is not None else "",
    )  # fmt: skip
    return stretch


@transaction.atomic
def add_work(
    build_id: int, *, minutes: int, stage: str, spent_on: str, token: UUID, by: User, now: datetime
) -> Stretch:
    """Write down work that no timer saw, as if it ended just now.

    :raises Refused: the build was not in a stage yet, or that is no working time.
    """
    build = locked(build_id)
    done = Stretch.objects.filter(token=token).first()
    if done:
        return done
    _check(minutes, stage, spent_on)
    made = Stretch.objects.create(
        build=build, token=token, stage=stage, spent_on=spent_on, by=by, minutes=minutes,
        begun_at=now - timedelta(minutes=minutes), ended_at=now, said_at=now, said_by=by,
    )  # fmt: skip
    record("worked", build.about, by, now, stage=stage, minutes=minutes, spent_on=spent_on)
    return made


def _check(minutes: int, stage: str, spent_on: str) -> None:
    if not 0 <= minutes <= MOST_MINUTES:
        raise Refused(_("One stretch of work is a day long at most. Write down each day's own."))
    if stage not in ON_THE_RULE or spent_on not in Spent.values:
        raise Refused(_("Say in which stage it was, and on what."))


def _locked(stretch_id: int) -> Stretch:
    # Not who said it: PostgreSQL joins that as it was before the lock was waited for.
    found = Stretch.objects.select_for_update(of=("self",)).select_related("build", "by")
    return found.get(pk=stretch_id)
