"""Burn-in and rest: begun, read when they are over, stopped; the shop is told as they end."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.proving.actions.held import in_test, present
from builds.proving.actions.readings import rework_of
from builds.proving.models import Reading, Timer
from builds.proving.queries.standing import Standing, Stands
from builds.proving.queries.timers import timers_over
from builds.proving.refusals import Refused
from builds.proving.states import Verdict, Waiting
from builds.proving.values import judged
from shop.history.actions import record
from shop.house.models import House
from shop.house.queries import house
from shop.house.speech import speaking_to_the_shop
from shop.people.models import User
from shop.post.actions import queue_message
from shop.post.models import Occasion
from shop.web.dated import dated


@transaction.atomic
def begin_timer(
    build_id: int, run_id: int, line_id: int, *, millivolts: int | None, token: UUID,
    by: User, now: datetime,
) -> Timer:  # fmt: skip
    """Start a burn-in or a rest; it runs whether or not anybody looks.

    :param millivolts: of the cell before a rest; what it lost is judged afterwards.
    :raises Refused: another test comes first, it failed and waits for its rework, or it runs.
    """
    build = in_test(build_id)
    if done := Timer.objects.filter(token=token).first():
        return done
    found = present(build, run_id)
    each = _timed(found, line_id)
    _ask_may_begin(found, each)
    if each.line.unit and millivolts is None:
        raise Refused(_("Measure the cell first: what it loses is read from there."))
    made = Timer.objects.create(
        token=token, build=build, what=Waiting(each.line.code), minutes=each.line.minutes or 1,
        millivolts_before=millivolts if each.line.unit else None, begun_at=now, begun_by=by,
    )  # fmt: skip
    record("timer_begun", build.about, by, now, test=each.line.name)
    return made


def _timed(found: Standing, line_id: int) -> Stands:
    each = next((row for row in found.lines if row.line.pk == line_id), None)
    if each is None or not each.is_timed or each.line.code not in Waiting.values:
        raise Refused(_("Nothing of this runs by itself."))
    return each


def _ask_may_begin(found: Standing, each: Stands) -> None:
    if first := found.waits_for(each.line):
        raise Refused(_("Only after “%s” has passed in this run.") % first.line.name)
    if each.asks_rework:
        raise Refused(_("It failed. Say first what was done about it."))
    if each.timer and each.timer.stopped_at is None:
        facts = {"who": each.timer.begun_by.name, "name": each.line.name}
        raise Refused(_("%(who)s started it already: %(name)s.") % facts)


@transaction.atomic
def stop_timer(build_id: int, timer_id: int, *, by: User, now: datetime) -> Timer:
    """Stop one before its time: it says nothing, and may be begun anew. Twice is once."""
    build = in_test(build_id)
    timer = Timer.objects.select_for_update().get(pk=timer_id, build=build)
    if timer.stopped_at is None:
        if timer.over_at <= now:
            raise Refused(_("It has run its time. Read it."))
        _close(timer, now)
        record("timer_stopped", build.about, by, now, test=timer.get_what_display())
    return timer


@transaction.atomic
def end_timer(
    build_id: int, run_id: int, line_id: int, *, is_right: bool, millivolts: int | None,
    token: UUID, by: User, now: datetime,
) -> Reading:  # fmt: skip
    """Read what ran by itself: right once it is over, not right as soon as it shows.

    :param millivolts: of the cell after a rest.
    :raises Refused: it was not begun, is not over yet, or lacks the voltage.
    """
    build = in_test(build_id)
    if done := Reading.objects.filter(token=token).first():
        return done
    each = _timed(present(build, run_id), line_id)
    timer = each.timer
    if timer is None or timer.stopped_at is not None:
        raise Refused(_("It does not run. Start it first."))
    if is_right and not timer.has_run(now):
        raise Refused(_("It is not over yet."))
    made = _read(each, timer, is_right, millivolts, token, by, now)
    _close(timer, now)
    record("proof_read", build.about, by, now, run=each.line.run.number, count=1,
           fails=int(made.verdict == Verdict.FAIL))  # fmt: skip
    return made


def _read(
    each: Stands, timer: Timer, is_right: bool, millivolts: int | None, token: UUID, by: User,
    now: datetime,
) -> Reading:  # fmt: skip
    with speaking_to_the_shop():
        value, typed = None, _("right") if is_right else _("not right")
    verdict = Verdict.PASS if is_right else Verdict.FAIL
    before = timer.millivolts_before
    if before is not None and is_right:
        if millivolts is None:
            raise Refused(_("Measure the cell: what it lost is read from there."))
        value = round((before - millivolts) / 1000, 4)
        typed = f"{before / 1000:.3f} → {millivolts / 1000:.3f} V"
        verdict = judged(each.line, value)
    return Reading.objects.create(
        token=token, line=each.line, value=value, as_typed=typed, verdict=verdict,
        rework=rework_of(each), by=by, at=now,
    )  # fmt: skip


def _close(timer: Timer, now: datetime) -> None:
    timer.stopped_at = now
    timer.save(update_fields=["stopped_at"])


@transaction.atomic
def tell_ended(now: datetime) -> int:
    """Tell the shop once of each burn-in and rest that is over, however often this runs.

    :returns: how many were told of now.
    """
    shop = house()
    if not shop.email:
        return 0
    over = [timer for timer in timers_over(now) if timer.told_at is None]
    with timezone.override(shop.zone):
        for timer in over:
            _tell(timer, shop, now)
    return len(over)


def _tell(timer: Timer, shop: House, now: datetime) -> None:
    build, what = timer.build, timer.get_what_display()
    facts = {"what": what.capitalize(), "whose": _whose(build), "when": dated(
        timezone.localtime(timer.over_at), "short moment")}  # fmt: skip
    queue_message(
        key=f"timer:{timer.pk}",
        occasion=Occasion.FREE,
        about=build.about,
        to=shop.email,
        subject=_("%(what)s is over: %(whose)s") % facts,
        body=_("%(what)s of %(whose)s was over %(when)s. Read it on the build’s test page.")
        % facts,
        now=now,
    )
    Timer.objects.filter(pk=timer.pk).update(told_at=now)


def _whose(build: Build) -> str:
    return f"{build.hilt.name} {build}" if build.hilt else f"{_('Blade')} {build}"
