"""What is measured, told and believed, and which of it counts."""

import math
from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, transaction

from builds.hilts import actions as hilts
from builds.hilts.actions import Reading
from builds.hilts.models import Hilt, Measurement, Section
from builds.hilts.queries import Known, shapes, take_aparts
from builds.hilts.states import Basis, MeasuredThing
from shop.models import User
from tests.hilts.shapes import make_joints, make_sections, mm
from tests.makers import make_customer

pytestmark = pytest.mark.django_db


@pytest.fixture
def hilt(owner: User, now: datetime) -> Hilt:
    return hilts.add_hilt(make_customer(now), "Heron", owner, now)


@pytest.fixture
def section(hilt: Hilt, owner: User, now: datetime) -> Section:
    return hilts.add_section(hilt, "grip", token=uuid4(), by=owner, now=now)


def bore(section: Section) -> Known:
    """What is known of a section's bore."""
    return shapes([section.hilt])[section.hilt_id].sections[0].known["bore"]


def keep(section: Section, reading: Reading, by: User, now: datetime, basis: str) -> None:
    readings = {MeasuredThing.BORE: reading}
    hilts.measure(section, readings, basis=basis, token=uuid4(), by=by, now=now)


def test_of_two_readings_of_a_bore_the_smaller_counts(
    section: Section, owner: User, now: datetime
) -> None:
    keep(section, mm(26.2, 26.05), owner, now, Basis.MEASURED)
    assert bore(section).value == 26.05


def test_measured_counts_before_what_is_told_later(
    section: Section, owner: User, now: datetime
) -> None:
    keep(section, mm(26.2), owner, now, Basis.MEASURED)
    keep(section, mm(28), owner, now + timedelta(days=1), Basis.TOLD)
    assert (bore(section).value, bore(section).basis) == (26.2, "measured")


def test_newest_measure_counts_and_the_older_one_is_kept(
    section: Section, owner: User, now: datetime
) -> None:
    keep(section, mm(26.2), owner, now, Basis.MEASURED)
    keep(section, mm(26.4), owner, now + timedelta(minutes=1), Basis.MEASURED)
    assert bore(section).value == 26.4
    assert section.measurements.count() == 2


def test_double_tap_measures_once(section: Section, owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        readings = {MeasuredThing.BORE: mm(26), MeasuredThing.LENGTH: mm(140)}
        hilts.measure(section, readings, basis="measured", token=token, by=owner, now=now)
    assert section.measurements.count() == 2


def test_measure_is_never_rewritten(section: Section, owner: User, now: datetime) -> None:
    keep(section, mm(26.2), owner, now, Basis.MEASURED)
    with pytest.raises(DatabaseError), transaction.atomic():
        Measurement.objects.update(value=30)
    with pytest.raises(DatabaseError), transaction.atomic():
        Measurement.objects.all().delete()


@pytest.mark.parametrize(
    ("thing", "reading"),
    [
        ("bore", mm(0)),
        ("bore", mm(-3)),
        ("bore", mm(1e99)),
        ("bore", mm(math.inf)),
        ("bore", mm(math.nan)),
        ("bore", mm(26, math.nan)),
        ("bore", Reading(26, "26 mm", tolerance=26)),
        ("bore", Reading(26, "26 mm", tolerance=-0.1)),
        ("bore", Reading(26, "26 mm", tolerance=math.nan)),
        ("length", mm(100, 100)),
        ("clock", mm(90)),
        ("weight", mm(90)),
    ],
)
def test_what_no_section_can_measure_is_refused(
    thing: str, reading: Reading, section: Section, owner: User, now: datetime
) -> None:
    with pytest.raises(hilts.Refused):
        hilts.measure(section, {thing: reading}, basis="told", token=uuid4(), by=owner, now=now)
    assert not section.measurements.exists()


def test_what_is_off_the_hilt_is_measured_no_more(
    section: Section, owner: User, now: datetime
) -> None:
    hilts.end_section(section.pk, token=uuid4(), by=owner, now=now)
    with pytest.raises(hilts.Refused, match="off the hilt"):
        keep(section, mm(26), owner, now, Basis.MEASURED)


def test_joint_and_hole_are_measured_too(hilt: Hilt, owner: User, now: datetime) -> None:
    sections = make_sections(hilt, owner, now)
    make_joints(sections, owner, now)
    joint = sections[0].joints.get()
    hole = hilts.add_hole(sections[1].pk, what="switch", note="", token=uuid4(), by=owner, now=now)
    deed = {"basis": "measured", "by": owner, "now": now}
    hilts.measure(joint, {"clock": Reading(90, "90°")}, token=uuid4(), **deed)
    hilts.measure(hole, {"from-front": mm(0), "diameter": mm(12)}, token=uuid4(), **deed)
    shape = shapes([hilt])[hilt.pk]
    assert shape.sections[0].joint_known["clock"].value == 90
    assert {name: known.value for name, known in shape.sections[1].holes[0].known.items()} == {
        "from-front": 0,
        "diameter": 12,
    }


def test_angle_beyond_a_turn_is_refused(hilt: Hilt, owner: User, now: datetime) -> None:
    sections = make_sections(hilt, owner, now)
    make_joints(sections, owner, now)
    with pytest.raises(hilts.Refused, match="360"):
        hilts.measure(
            sections[0].joints.get(),
            {"clock": Reading(400, "400°")},
            basis="told",
            token=uuid4(),
            by=owner,
            now=now,
        )


def test_hilt_begun_from_a_like_one_is_believed_until_measured(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    sections = make_sections(hilt, owner, now)
    make_joints(sections, owner, now)
    sections[0].joints.update(stuck=True)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Heron the second", owner, now)
    token = uuid4()
    for _tap in range(2):
        hilts.copy_shape(hilt, like, token=token, by=owner, now=now)
    shape = shapes([like])[like.pk]
    assert [each.section.name for each in shape.sections] == ["emitter", "grip", "pommel"]
    known = shape.sections[1].known["bore"]
    assert (known.value, known.basis, known.believed_from) == (28.5, "believed", "Heron")
    assert shape.socket is not None
    assert [each.joint.stuck for each in shape.sections if each.joint] == [False, False]
    keep(shape.sections[1].section, mm(27.9), owner, now, Basis.TOLD)
    assert shapes([like])[like.pk].sections[1].known["bore"].basis == "told"


def test_hilt_begun_from_a_like_one_comes_apart_as_that_does(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    make_sections(hilt, owner, now)
    facts = {"how": "snug", "for_owner": False, "by": owner, "now": now}
    pommel = hilts.add_step(
        hilt, words="pommel", wants_heat=False, firsts=[], token=uuid4(), **facts
    )
    hilts.add_step(hilt, words="neck", wants_heat=True, firsts=[pommel.pk], token=uuid4(), **facts)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Heron the second", owner, now)
    token = uuid4()
    for _tap in range(2):
        hilts.copy_shape(hilt, like, token=token, by=owner, now=now)
    rows = take_aparts([like])[like.pk].rows
    assert [
        (row.label, row.step.words, row.step.how, row.step.for_owner, row.step.wants_heat)
        for row in rows
    ] == [("1", "pommel", "snug", False, False), ("2", "neck", "snug", False, True)]
    assert rows[1].firsts == (rows[0].step,)
    assert hilt.steps.count() == 2


def test_own_steps_are_kept_when_a_shape_is_copied(hilt: Hilt, owner: User, now: datetime) -> None:
    make_sections(hilt, owner, now)
    facts = {"how": "", "for_owner": True, "wants_heat": False, "firsts": []}
    hilts.add_step(hilt, words="pommel", token=uuid4(), by=owner, now=now, **facts)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Heron the second", owner, now)
    hilts.add_step(like, words="cap", token=uuid4(), by=owner, now=now, **facts)
    hilts.copy_shape(hilt, like, token=uuid4(), by=owner, now=now)
    assert [row.step.words for row in take_aparts([like])[like.pk].rows] == ["cap"]


@pytest.mark.parametrize(
    "junk", [{"value": -1.0}, {"value": 1e9}, {"second": -1.0}, {"tolerance": -0.1}]
)
def test_database_keeps_no_measure_that_no_hilt_has(
    junk: dict[str, float], hilt: Hilt, owner: User, now: datetime
) -> None:
    section = make_sections(hilt, owner, now)[0]
    facts = {"value": 28.0, **junk}
    with pytest.raises(IntegrityError), transaction.atomic():
        Measurement.objects.create(
            hilt=hilt, section=section, quantity="bore", as_typed="28 mm", basis="measured",
            by=owner, at=now, **facts,
        )  # fmt: skip


def test_shape_is_not_laid_over_another(hilt: Hilt, owner: User, now: datetime) -> None:
    make_sections(hilt, owner, now)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Second", owner, now)
    make_sections(like, owner, now)
    with pytest.raises(hilts.Refused, match="sections already"):
        hilts.copy_shape(hilt, like, token=uuid4(), by=owner, now=now)


def test_hilt_of_which_nothing_is_known_lends_nothing(
    hilt: Hilt, owner: User, now: datetime
) -> None:
    like = hilts.add_hilt(make_customer(now, "Ines"), "Second", owner, now)
    with pytest.raises(hilts.Refused, match="Nothing is known of Heron"):
        hilts.copy_shape(hilt, like, token=uuid4(), by=owner, now=now)
