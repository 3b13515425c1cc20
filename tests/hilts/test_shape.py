"""Sections, joints and holes: their order, their double taps, the other tablet."""

from datetime import datetime
from uuid import uuid4

import pytest

from builds.hilts import actions as hilts
from builds.hilts.models import Hilt, Section
from builds.hilts.queries import joint_mark, section_mark, shapes
from shop.models import User
from tests.hilts.shapes import make_joints, make_sections
from tests.makers import at_once, make_customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def hilt(owner: User, now: datetime) -> Hilt:
    return hilts.add_hilt(make_customer(now), "Heron", owner, now)


def names(hilt: Hilt) -> list[str]:
    """The sections of a hilt, from the blade's end."""
    return [each.section.name for each in shapes([hilt])[hilt.pk].sections]


def move(section: Section, to: int, by: User, now: datetime) -> Section:
    section.refresh_from_db()
    seen = section_mark(section)
    return hilts.move_section(section.pk, to=to, seen=seen, token=uuid4(), by=by, now=now)


def test_sections_stand_in_the_order_in_which_they_are_added(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    make_sections(hilt, owner, now)
    assert names(hilt) == ["emitter", "grip", "pommel"]


@pytest.mark.parametrize(
    ("which", "to", "then"),
    [
        (2, 1, ["pommel", "emitter", "grip"]),
        (0, 3, ["grip", "pommel", "emitter"]),
        (1, 1, ["grip", "emitter", "pommel"]),
        (0, 99, ["grip", "pommel", "emitter"]),
        (1, -5, ["grip", "emitter", "pommel"]),
    ],
)
def test_section_is_moved_to_a_place(
    which: int, to: int, then: list[str], hilt: Hilt, owner: User, now: datetime
) -> None:
    sections = make_sections(hilt, owner, now)
    move(sections[which], to, owner, now)
    assert names(hilt) == then


def test_section_that_is_taken_off_leaves_no_gap_and_keeps_its_measures(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    sections = make_sections(hilt, owner, now)
    make_joints(sections, owner, now)
    hilts.end_section(sections[1].pk, token=uuid4(), by=owner, now=now)
    assert names(hilt) == ["emitter", "pommel"]
    assert [each.position for each in hilt.sections.filter(ended_at=None)] == [1, 2]
    assert sections[1].measurements.count() == 3
    assert not sections[1].joints.filter(ended_at=None).exists()


def test_double_tap_adds_one_section(hilt: Hilt, owner: User, now: datetime) -> None:
    token = uuid4()
    first = hilts.add_section(hilt, "neck", token=token, by=owner, now=now)
    again = hilts.add_section(hilt, "neck", token=token, by=owner, now=now)
    assert (first, names(hilt)) == (again, ["neck"])


def test_other_tablet_is_told_who_changed_the_section(
    hilt: Hilt, owner: User, bench_hand: User, now: datetime
) -> None:
    section = make_sections(hilt, owner, now)[0]
    section.refresh_from_db()
    seen = section_mark(section)
    same = {"holds_blade": True, "blade_screw": "", "note": "", "seen": seen, "now": now}
    hilts.change_section(section.pk, name="nose", token=uuid4(), by=bench_hand, **same)
    with pytest.raises(hilts.Overtaken, match=bench_hand.name):
        hilts.change_section(section.pk, name="tip", token=uuid4(), by=owner, **same)
    assert names(hilt)[0] == "nose"


def test_blade_has_one_socket(hilt: Hilt, owner: User, now: datetime) -> None:
    make_sections(hilt, owner, now)
    with pytest.raises(hilts.Refused, match="in emitter already"):
        hilts.add_section(hilt, "neck", holds_blade=True, token=uuid4(), by=owner, now=now)


def test_hilt_is_not_made_of_sections_without_end(hilt: Hilt, owner: User, now: datetime) -> None:
    for number in range(30):
        hilts.add_section(hilt, f"ring {number}", token=uuid4(), by=owner, now=now)
    with pytest.raises(hilts.Refused, match="at most 30"):
        hilts.add_section(hilt, "ring 31", token=uuid4(), by=owner, now=now)


def test_another_kind_of_joint_is_another_joint(hilt: Hilt, owner: User, now: datetime) -> None:
    section = make_sections(hilt, owner, now)[0]
    make_joints([section, section], owner, now)
    thread = section.joints.get()
    facts = {"note": "", "by": owner, "now": now, "stuck": True}
    same = hilts.set_joint(
        section.pk, kind="thread", seen=joint_mark(thread), token=uuid4(), **facts
    )
    assert same.pk == thread.pk
    other = hilts.set_joint(section.pk, kind="press", seen=joint_mark(same), token=uuid4(), **facts)
    assert other.pk != thread.pk
    assert section.joints.get(ended_at=None).kind == "press"


def test_nothing_stands_behind_the_last_section(hilt: Hilt, owner: User, now: datetime) -> None:
    last = make_sections(hilt, owner, now)[-1]
    with pytest.raises(hilts.Refused, match="behind pommel"):
        make_joints([last, last], owner, now)


def test_hole_comes_once_and_goes_once(hilt: Hilt, owner: User, now: datetime) -> None:
    section, token = make_sections(hilt, owner, now)[0], uuid4()
    for _tap in range(2):
        hole = hilts.add_hole(section.pk, what="switch", note="", token=token, by=owner, now=now)
    assert len(shapes([hilt])[hilt.pk].sections[0].holes) == 1
    for _tap in range(2):
        hilts.end_hole(hole.pk, by=owner, now=now)
    assert shapes([hilt])[hilt.pk].sections[0].holes == ()


@pytest.mark.django_db(transaction=True)
def test_two_tablets_move_sections_at_once_and_the_order_stays_whole(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    first, _second, third = make_sections(hilt, owner, now)
    for section in (first, third):
        section.refresh_from_db()
    seen = {each.pk: section_mark(each) for each in (first, third)}

    def deed(section: Section, to: int) -> object:
        return hilts.move_section(
            section.pk, to=to, seen=seen[section.pk], token=uuid4(), by=owner, now=now
        )

    answers = at_once(lambda: deed(first, 3), lambda: deed(third, 1))
    assert sum(isinstance(each, hilts.Overtaken) for each in answers) == 1
    assert sorted(names(hilt)) == ["emitter", "grip", "pommel"]
    assert [each.position for each in hilt.sections.filter(ended_at=None)] == [1, 2, 3]
