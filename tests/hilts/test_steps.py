"""Take-apart steps: groups, what must come off first, circles, the other tablet."""

from collections.abc import Collection
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest

from builds.hilts import actions as hilts
from builds.hilts.models import Hilt, Step
from builds.hilts.queries import step_mark, take_aparts
from builds.hilts.refusals import Refused
from shop.models import User
from tests.makers import make_customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def hilt(owner: User, now: datetime) -> Hilt:
    return hilts.add_hilt(make_customer(now), "Heron", owner, now)


def add(hilt: Hilt, words: str, by: User, now: datetime, firsts: Collection[Step] = ()) -> Step:
    """A step that comes off after others."""
    return hilts.add_step(hilt, token=uuid4(), by=by, now=now, **facts(words, firsts))


def facts(words: str, firsts: Collection[Step] = ()) -> dict[str, Any]:
    keys = {step.pk for step in firsts}
    return {"words": words, "how": "", "for_owner": True, "wants_heat": False, "firsts": keys}


def mark(step: Step) -> str:
    step.refresh_from_db()
    return step_mark(step, step.links.values_list("first", flat=True))


def change(
    step: Step, words: str, by: User, now: datetime, firsts: Collection[Step], seen: str = ""
) -> Step:
    return hilts.change_step(
        step.pk, seen=seen or mark(step), token=uuid4(), by=by, now=now, **facts(words, firsts)
    )


def labels(hilt: Hilt) -> dict[str, str]:
    """Label → words, in the order of taking apart."""
    return {row.label: row.step.words for row in take_aparts([hilt])[hilt.pk].rows}


def test_steps_stand_in_groups_and_free_ones_share_a_number(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    pommel = add(hilt, "pommel", owner, now)
    screw = add(hilt, "chassis screw", owner, now, [pommel])
    ring = add(hilt, "grip ring", owner, now, [pommel])
    add(hilt, "chassis", owner, now, [screw, ring])
    assert labels(hilt) == {"1": "pommel", "2a": "chassis screw", "2b": "grip ring", "3": "chassis"}
    apart = take_aparts([hilt])[hilt.pk]
    assert [group.is_free for group in apart.groups] == [False, True, False]
    assert [group.number for group in apart.together] == [3, 2, 1]


def test_circle_is_refused_by_naming_it_and_nothing_is_changed(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    pommel = add(hilt, "pommel", owner, now)
    grip = add(hilt, "grip", owner, now, [pommel])
    neck = add(hilt, "neck", owner, now, [grip])
    with pytest.raises(hilts.GoesRound, match="pommel, big → grip → neck → pommel, big"):
        change(pommel, "pommel, big", owner, now, [neck])
    assert labels(hilt) == {"1": "pommel", "2": "grip", "3": "neck"}


def test_step_does_not_wait_for_itself(hilt: Hilt, owner: User, now: datetime) -> None:
    pommel = add(hilt, "pommel", owner, now)
    with pytest.raises(hilts.GoesRound):
        change(pommel, "pommel", owner, now, [pommel])


def test_what_waited_for_a_step_that_is_gone_waits_for_its_firsts(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    pommel = add(hilt, "pommel", owner, now)
    ring = add(hilt, "ring", owner, now, [pommel])
    add(hilt, "chassis", owner, now, [ring])
    for _tap in range(2):
        hilts.end_step(ring.pk, by=owner, now=now)
    assert labels(hilt) == {"1": "pommel", "2": "chassis"}


def test_step_of_another_hilt_is_not_waited_for(hilt: Hilt, owner: User, now: datetime) -> None:
    other = hilts.add_hilt(make_customer(now, "Ines"), "Copperfen", owner, now)
    theirs = add(other, "pommel", owner, now)
    with pytest.raises(hilts.Refused, match="off the list"):
        add(hilt, "chassis", owner, now, [theirs])


def test_other_tablet_is_told_who_changed_the_step(
    hilt: Hilt, owner: User, bench_hand: User, now: datetime
) -> None:
    step = add(hilt, "pommel", owner, now)
    seen = mark(step)
    change(step, "pommel cap", bench_hand, now, [])
    with pytest.raises(hilts.Overtaken, match=bench_hand.name):
        change(step, "end cap", owner, now, [], seen)
    assert labels(hilt) == {"1": "pommel cap"}


def test_double_tap_adds_one_step(hilt: Hilt, owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        hilts.add_step(hilt, token=token, by=owner, now=now, **facts("pommel"))
    assert labels(hilt) == {"1": "pommel"}


def test_steps_of_many_hilts_are_read_in_two_queries(
    hilt: Hilt, owner: User, now: datetime, django_assert_num_queries: Any
) -> None:
    others = [hilts.add_hilt(hilt.customer, f"Hazel {n}", owner, now) for n in range(4)]
    for each in others:
        add(each, "pommel", owner, now)
    with django_assert_num_queries(2):
        assert len(take_aparts([hilt, *others])) == 5


def test_step_that_wants_heat_is_not_for_the_owner(hilt: Hilt, owner: User, now: datetime) -> None:
    hot = facts("neck") | {"wants_heat": True}
    with pytest.raises(Refused, match="not for the owner"):
        hilts.add_step(hilt, token=uuid4(), by=owner, now=now, **hot)
    assert not hilt.steps.exists()
