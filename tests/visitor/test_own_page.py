"""The page of a hilt for its owner: how it works, comes apart, is looked after, since when."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.handover.actions.gestures import add_gesture
from builds.handover.actions.warranty import promise_warranty
from builds.handover.models import Gesture
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import Kind, State
from builds.sounds.models import Slot
from shop.models import House, User
from tests.handover.making import left
from tests.makers import describe_slot, fit_all, make_item, make_tray, take_apart_and_carry
from tests.makers import make_build as make
from tests.visitor import making


@pytest.fixture
def works(owner: User, now: datetime) -> Build:
    """A full install that left: parts, a slot, gestures of which one was tried."""
    build = make(owner, now, State.TEARDOWN, tray=make_tray(), customer=making.customer(now))
    take_apart_and_carry(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    build.refresh_from_db()
    fit_all(build, owner, now)
    for wanted in ("wake it", "lock two blades"):
        said = {"being": "asleep", "wanted": wanted, "do": f"press to {wanted}", "see": "a glow",
                "hear": "a tone", "out": "press again"}  # fmt: skip
        add_gesture(build.pk, said, token=uuid4(), by=owner, now=now)
    Gesture.objects.filter(wanted="wake it").update(tried_at=now, tried_by=owner)
    promise_warranty(left(build, now), by=owner, now=now)
    return build


def page_of(build: Build, now: datetime) -> str:
    return f"/your/hilt/{making.token(making.hilt_link_to(build, now))}/"


def text(client: Client, build: Build, now: datetime) -> str:
    """The page without the blanks of its source."""
    return " ".join(client.get(page_of(build, now)).content.decode().split())


def again(first: Build, owner: User, now: datetime, **facts: Any) -> Build:
    """The next build of the same hilt, which left a year later."""
    item = make_item(owner, now, first.item.order.customer)
    made = progress.book(
        item, hilt=first.hilt, kind=Kind.REPAIR, leaves_by="post", by=owner, now=now
    )
    return left(made, now + timedelta(days=365), **facts)


@pytest.mark.parametrize(
    "words",
    [
        "<h4>Wake it</h4>", "Press to wake it", "a glow", "a tone", "press again",
        "<strong>Ember</strong>", "orange, steady", 'fill="#ff4000"',
        "<strong>Pommel</strong>", "Back together", "What is inside",
        "Under warranty until 24 May 2027",
    ],
)  # fmt: skip
def test_page_tells_how_it_works_and_comes_apart(
    words: str, stranger: Client, works: Build, now: datetime
) -> None:
    assert words in text(stranger, works, now)


def test_gesture_that_nobody_tried_is_not_told(
    stranger: Client, works: Build, now: datetime
) -> None:
    assert "lock two blades" not in text(stranger, works, now).casefold()


def test_newest_work_leads_and_the_older_lies_folded(
    stranger: Client, works: Build, owner: User, now: datetime
) -> None:
    again(works, owner, now)
    shown = text(stranger, works, now)
    assert "<dt>Repaired</dt><dd>posted" in shown
    assert "<summary><span>Light and sound fitted, posted" in shown
    assert shown.index("<dt>Repaired</dt>") < shown.index("Light and sound fitted")


def test_repair_that_changed_nothing_leaves_how_it_works_as_it_was(
    stranger: Client, works: Build, owner: User, now: datetime
) -> None:
    again(works, owner, now)
    shown = text(stranger, works, now)
    assert "Press to wake it" in shown
    assert "as we wrote it down in November 2026" in shown


def test_card_of_a_later_build_is_the_one_that_is_told(
    stranger: Client, works: Build, owner: User, now: datetime
) -> None:
    later = again(works, owner, now, state=State.INTAKE)
    Build.objects.filter(pk=later.pk).update(tray=make_tray())
    describe_slot(later, owner, now)
    Slot.objects.filter(build=later).update(name="Tide", colour="#0000ff")
    left(later, now + timedelta(days=365))
    shown = text(stranger, works, now)
    assert "<strong>Tide</strong>" in shown
    assert "Ember" not in shown


def test_page_stays_for_the_next_visit_of_the_hilt(
    stranger: Client, works: Build, owner: User, now: datetime
) -> None:
    again(works, owner, now, state=State.INTAKE)
    shown = text(stranger, works, now)
    assert "Press to wake it" in shown
    assert "Tell the shop" not in shown


def test_warranty_that_has_run_out_is_said_to(
    stranger: Client, works: Build, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.visitor.views.now", lambda: now + timedelta(days=400))
    shown = text(stranger, works, now)
    assert "Under warranty" not in shown
    assert 'until 24 May 2027 <span class="quiet">run out</span>' in shown


@pytest.mark.parametrize("secret", ["Quillfeather", "Saltmarsh", "£", "ines@example.com", "Oda"])
def test_page_tells_no_money_no_street_no_staff(
    secret: str, stranger: Client, works: Build, now: datetime, house: House
) -> None:
    house.currency = "GBP"
    house.save()
    assert secret not in text(stranger, works, now)
