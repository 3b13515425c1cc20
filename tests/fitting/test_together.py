"""Two tablets at the same moment: a part is fitted once, the last one goes to one build."""

from datetime import datetime
from functools import partial
from uuid import uuid4

import pytest

from builds.fitting.actions import Overtaken
from builds.fitting.actions.parts import fit_part, reserve_part
from builds.fitting.actions.taking_off import take_off
from builds.progress.states import State
from shop.models import User
from shop.stores.actions import Short
from shop.stores.models import StockLevel, StockRow
from tests.fitting.making import plan
from tests.makers import at_once, make_build, make_part

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_tablets_fit_the_same_part(owner: User, bench_hand: User, now: datetime) -> None:
    board = make_part(owner, now, 2, kind="board")
    part = plan(make_build(owner, now, State.INSTALL), board, owner, now)
    answers = at_once(
        partial(fit_part, part, serial="1", token=uuid4(), by=owner, now=now),
        partial(fit_part, part, serial="2", token=uuid4(), by=bench_hand, now=now),
    )
    (refused,) = [answer for answer in answers if isinstance(answer, Exception)]
    part.refresh_from_db()
    assert isinstance(refused, Overtaken)
    assert part.fitted_by is not None
    assert str(refused).startswith(part.fitted_by.name)
    assert part.serial == ("1" if part.fitted_by == owner else "2")
    assert StockLevel.objects.get(part=board).on_hand == 1


def test_the_last_one_goes_to_one_of_two_builds(owner: User, now: datetime) -> None:
    board = make_part(owner, now, 1, kind="board")
    builds = [make_build(owner, now, State.INSTALL) for _build in range(2)]
    lines = [plan(build, board, owner, now) for build in builds]
    deeds = [partial(reserve_part, line, token=uuid4(), by=owner, now=now) for line in lines]
    answers = at_once(*deeds)
    assert sum(isinstance(answer, Short) for answer in answers) == 1
    level = StockLevel.objects.get(part=board)
    assert (level.on_hand, level.reserved) == (1, 1)


def test_fitting_and_taking_off_at_once_leave_the_stores_whole(
    owner: User, bench_hand: User, now: datetime
) -> None:
    board = make_part(owner, now, 1, kind="board")
    part = plan(make_build(owner, now, State.INSTALL), board, owner, now)
    reserve_part(part, token=uuid4(), by=owner, now=now)
    at_once(
        partial(fit_part, part, token=uuid4(), by=owner, now=now),
        partial(take_off, part, "wrong one", token=uuid4(), by=bench_hand, now=now),
    )
    level = StockLevel.objects.get(part=board)
    assert (level.on_hand, level.reserved) == (1, 0)
    changes = StockRow.objects.filter(part=board).values_list("on_hand_change", flat=True)
    assert sum(changes) == 1
