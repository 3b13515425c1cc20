"""What builds wait for: parts until their day, answers by the shop's own reply times."""

import math
from datetime import UTC, date, datetime, timedelta

import pytest

from builds.models import Build, Hold
from builds.progress import actions as progress
from builds.progress.states import State, Turn
from builds.queue.queries import line
from builds.queue.queries.learned import NEWEST, WAITS
from builds.queue.values import ANSWER, ITEM, PARTS, PAYMENT
from shop.diary.forecast import Stage, Wait
from shop.models import Quote, User
from tests.makers import answer, make_agreed, make_arrival, make_build, make_part, put_on_hold
from tests.stores.bought import waits_for
from tests.stores.orders import make_ordered, make_supplier

pytestmark = pytest.mark.django_db
DAY, HOUR = timedelta(days=1), timedelta(hours=1)
GUESSED = pytest.approx(WAITS[ANSWER].median_h)
DUE_IN = date(2026, 11, 30)  # five days after Wednesday the 25th


def stage_of(build: Build, code: str, now: datetime) -> Stage:
    job = next(job for job in line(now).jobs if job.key == build.pk)
    return next(stage for stage in job.stages if stage.code == code)


def waits_of(build: Build, code: str, now: datetime) -> tuple[Wait, ...]:
    return stage_of(build, code, now).waits


def _held_for_parts(owner: User, now: datetime, **facts: int) -> Build:
    build, part = make_build(owner, now, State.INSTALL), make_part(owner, now)
    supplier = make_supplier(owner, now, **facts)
    bought = make_ordered(owner, now, (part, 1), supplier=supplier, expected_on=DUE_IN)
    progress.hold(build.pk, fields=waits_for(bought, part, now), by=owner, now=now)
    return build


def test_parts_are_awaited_until_the_day_that_the_supplier_told(owner: User, now: datetime) -> None:
    (wait,) = waits_of(_held_for_parts(owner, now), "install", now + DAY)
    noon = datetime(2026, 11, 30, 12, tzinfo=UTC)
    assert wait.cause == PARTS
    assert wait.spread.median_h == pytest.approx((noon - now) / HOUR)
    assert wait.waited_h == 24


def test_supplier_who_varies_more_makes_the_day_less_sure(owner: User, now: datetime) -> None:
    steady = _held_for_parts(owner, now, lead_days=10, lead_spread_days=2)
    wild = _held_for_parts(owner, now, lead_days=10, lead_spread_days=9)
    spreads = [waits_of(build, "install", now)[0].spread.log_sd for build in (steady, wild)]
    assert spreads == pytest.approx([math.sqrt(math.log1p(0.04)), math.sqrt(math.log1p(0.81))])


def test_part_that_comes_later_is_known_by_its_line_on_order(owner: User, now: datetime) -> None:
    build = _held_for_parts(owner, now)
    held = Hold.objects.get(build=build)
    found = line(now).lines[held.line_id or 0]
    assert found == ((build.pk, waits_of(build, "install", now)[0]),)


def test_hold_before_a_later_stage_lets_earlier_work_go_on(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now, before=State.DISPATCH)
    assert waits_of(build, "install", now) == ()
    assert [wait.cause for wait in waits_of(build, "dispatch", now)] == [ANSWER]


def test_hold_before_a_stage_that_is_over_holds_nothing(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    put_on_hold(build, owner, now, before=State.INSTALL)
    assert all(not stage.waits for job in line(now).jobs for stage in job.stages)


def test_hold_that_ended_holds_nothing(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.end_hold(put_on_hold(build, owner, now).pk, by=owner, now=now + HOUR)
    assert waits_of(build, "install", now + HOUR) == ()


# Learned from what is over


def _replied(owner: User, now: datetime, days: float, reason: str = "answer") -> None:
    build = make_build(owner, now)
    held = put_on_hold(build, owner, now - timedelta(days=days))
    Hold.objects.filter(pk=held.pk).update(reason=reason)
    progress.end_hold(held.pk, by=owner, now=now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)


def test_answers_take_as_long_as_they_took(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now)
    guessed = waits_of(build, "install", now)[0].spread.median_h
    assert guessed == GUESSED
    for _customer in range(12):
        _replied(owner, now, 6)
    assert 4.5 * 24 < waits_of(build, "install", now)[0].spread.median_h < 6 * 24


def test_payments_are_learned_apart_from_answers(owner: User, now: datetime) -> None:
    for _customer in range(8):
        _replied(owner, now, 9, "deposit")
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now)
    assert waits_of(build, "install", now)[0].spread.median_h == pytest.approx(
        WAITS[ANSWER].median_h
    )
    Hold.objects.filter(build=build).update(reason="balance")
    (wait,) = waits_of(build, "install", now)
    assert (wait.cause, wait.spread.median_h > 1.5 * WAITS[PAYMENT].median_h) == (PAYMENT, True)


def test_answer_to_a_quote_teaches_though_nobody_ended_the_hold(owner: User, now: datetime) -> None:
    asked = make_build(owner, now)
    quote = make_agreed(asked.item.order, owner, now)
    held = put_on_hold(asked, owner, now - 20 * DAY)
    Hold.objects.filter(pk=held.pk).update(quote=quote)
    assert Quote.objects.get(pk=quote.pk).answered_at == now
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now)
    assert waits_of(build, "install", now)[0].spread.median_h > WAITS[ANSWER].median_h


def test_two_years_ago_is_forgotten(owner: User, now: datetime) -> None:
    _replied(owner, now - 800 * DAY, 30)
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now)
    assert waits_of(build, "install", now)[0].spread.median_h == pytest.approx(
        WAITS[ANSWER].median_h
    )


def test_the_newest_sixty_teach(owner: User, now: datetime) -> None:
    for n in range(3):
        _replied(owner, now, 1 + n)
    ended = Hold.objects.get(pk=Hold.objects.latest("pk").pk)
    fields = {f.attname: getattr(ended, f.attname) for f in Hold._meta.fields if f.name != "id"}
    Hold.objects.bulk_create(Hold(**{**fields, "ended_at": now + HOUR}) for _ in range(NEWEST))
    build = make_build(owner, now, State.INSTALL)
    put_on_hold(build, owner, now)
    spread = waits_of(build, "install", now + 2 * HOUR)[0].spread
    assert spread.weight == pytest.approx(WAITS[ANSWER].weight + NEWEST)


# Booked, and not here


def test_booked_build_waits_for_its_parcel_and_its_yes(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    assert [wait.cause for wait in waits_of(build, "intake", now)] == [ANSWER, ITEM]


def test_yes_that_was_given_is_not_awaited(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    answer(build, "agreed", owner, now)
    assert [wait.cause for wait in waits_of(build, "intake", now)] == [ITEM]


def test_way_here_is_learned_from_builds_that_were_booked_first(owner: User, now: datetime) -> None:
    guessed = WAITS[ITEM].median_h
    moves = []
    for _build in range(12):
        build = make_build(owner, now, State.INTAKE)
        moves.append(
            build.moves.create(
                token=make_arrival(owner, now).token, from_state="booked", to_state="intake",
                at=now, by=owner, was_since=now - 20 * DAY,
            )
        )  # fmt: skip
        Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    build = make_build(owner, now)
    (parcel,) = (wait for wait in waits_of(build, "intake", now) if wait.cause == ITEM)
    assert parcel.spread.median_h > 1.5 * guessed


def test_wait_that_somebody_named_is_not_counted_twice(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    put_on_hold(build, owner, now, turn=Turn.CUSTOMER)
    causes = [wait.cause for wait in waits_of(build, "intake", now)]
    assert sorted(causes) == [ANSWER, ITEM]
