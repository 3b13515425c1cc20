"""The page of a hilt and of its steps: measuring, what is asked about, what is refused."""

import re
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.hilts import actions as hilts
from builds.hilts.models import Hilt, Section
from builds.hilts.queries import section_mark, shapes, step_mark, take_aparts
from builds.progress.states import State
from shop.models import House, User
from tests.hilts.shapes import make_joints, make_sections
from tests.makers import make_build, make_customer

pytestmark = pytest.mark.django_db
JUNK = ["abc", "-3", "1e99", "∞", "99999999999999", "1/0", "NaN", "0x1F", "½"]


@pytest.fixture
def hilt(owner: User, now: datetime) -> Hilt:
    return hilts.add_hilt(make_customer(now), "Heron", owner, now)


@pytest.fixture
def section(hilt: Hilt, owner: User, now: datetime) -> Section:
    return hilts.add_section(hilt, "grip", token=uuid4(), by=owner, now=now)


def measure(client: Client, section: Section, **typed: Any) -> Any:
    """Type what a caliper says into a section's form."""
    data = {"basis": "measured", "token": uuid4(), **typed}
    return client.post(reverse("hilts_measure", args=[section.pk]), data)


def known(section: Section) -> dict[str, tuple[float, str]]:
    """Thing → value and text as typed."""
    shape = shapes([section.hilt])[section.hilt_id]
    found = next(each for each in shape.sections if each.section == section)
    return {thing: (each.value, each.as_typed) for thing, each in found.known.items()}


def test_bench_hand_measures_a_section_in_one_go(bench_client: Client, section: Section) -> None:
    typed = {"bore": "26,2", "bore_across": "26.1", "length": "140", "outer": "32.0"}
    answer = measure(bench_client, section, **typed, tolerance="0.05")
    assert answer.status_code == 303
    assert answer.headers["Location"].endswith(f"#section-{section.pk}")
    assert known(section) == {
        "bore": (26.1, "26,2 mm / 26.1 mm"),
        "length": (140.0, "140 mm"),
        "outer": (32.0, "32.0 mm"),
    }
    page = bench_client.get(reverse("hilts_hilt", args=[section.hilt_id])).content.decode()
    assert "measured by Jory" in page
    assert "1 of 1 sections measured" in page


def test_inches_are_understood_and_kept_as_typed(bench_client: Client, section: Section) -> None:
    measure(bench_client, section, bore="7/8 in")
    value, text = known(section)["bore"]
    assert (round(value, 3), text) == (22.225, "7/8 in")


def test_shop_that_measures_in_inches_types_bare_numbers(
    bench_client: Client, section: Section, house: House
) -> None:
    House.objects.update(length_unit="in")
    measure(bench_client, section, bore="1.031", outer="1 1/4")
    assert {thing: round(value, 2) for thing, (value, _text) in known(section).items()} == {
        "bore": 26.19,
        "outer": 31.75,
    }
    page = bench_client.get(reverse("hilts_hilt", args=[section.hilt_id])).content.decode()
    assert "1.031\u202fin" in page


@pytest.mark.parametrize("junk", JUNK)
@pytest.mark.parametrize("field", ["bore", "length", "outer", "tolerance"])
def test_junk_is_refused_beside_the_field_and_nothing_typed_is_lost(
    bench_client: Client, section: Section, field: str, junk: str
) -> None:
    answer = measure(bench_client, section, **{"bore_across": "26.4", field: junk})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="26.4"' in page
    assert f'id="s{section.pk}-{field}_error"' in page
    assert known(section) == {}


def test_empty_form_asks_for_a_measure(bench_client: Client, section: Section) -> None:
    answer = measure(bench_client, section)
    assert answer.status_code == 422
    assert "Type at least one measure" in answer.content.decode()


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ({"bore": "26", "bore_across": "26.8"}, "is it oval"),
        ({"bore": "40", "outer": "36"}, "leaves no wall"),
        ({"bore": "61", "outer": "70"}, "more than usual"),
        ({"bore": "1.03"}, "was it inches"),
        ({"length": "900"}, "more than usual"),
    ],
)
def test_likely_slip_is_asked_about_and_kept_when_it_is_so(
    bench_client: Client, section: Section, typed: dict[str, str], asked: str
) -> None:
    answer = measure(bench_client, section, **typed)
    assert answer.status_code == 422
    assert asked in answer.content.decode().lower()
    assert known(section) == {}
    assert measure(bench_client, section, **typed, sure="on").status_code == 303
    assert len(known(section)) == sum(not name.endswith("across") for name in typed)


def test_far_from_what_was_told_is_asked_about(
    bench_client: Client, section: Section, hilt: Hilt
) -> None:
    measure(bench_client, section, bore="26", basis="told")
    answer = measure(bench_client, section, bore="31")
    assert "So far it was 26" in answer.content.decode()


def test_double_tap_on_keep_measures_once(bench_client: Client, section: Section) -> None:
    token = uuid4()
    for _tap in range(2):
        assert measure(bench_client, section, bore="26", token=token).status_code == 303
    assert section.measurements.count() == 1


def test_believed_value_is_dotted_and_names_its_hilt(
    owner_client: Client, hilt: Hilt, owner: User, now: datetime
) -> None:
    make_sections(hilt, owner, now)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Heron the second", owner, now)
    empty = owner_client.get(reverse("hilts_hilt", args=[like.pk]))
    assert "Begin from it" in empty.content.decode()
    to = reverse("hilts_begin", args=[like.pk, hilt.pk])
    assert owner_client.post(to, {"token": uuid4()}).status_code == 303
    page = owner_client.get(reverse("hilts_hilt", args=[like.pk])).content.decode()
    assert "believed, from Heron" in page
    assert 'class="num estimate"' in page


def test_like_hilt_is_found_by_the_beginning_of_its_name(
    owner_client: Client, hilt: Hilt, owner: User, now: datetime
) -> None:
    make_sections(hilt, owner, now)
    like = hilts.add_hilt(make_customer(now, "Ines"), "Other", owner, now)
    to = reverse("hilts_hilt", args=[like.pk])
    assert (
        reverse("hilts_begin", args=[like.pk, hilt.pk])
        in owner_client.get(f"{to}?like=her").content.decode()
    )
    assert "No hilt with sections is found" in owner_client.get(f"{to}?like=zz").content.decode()


def test_sections_are_added_by_tap_and_by_name(
    owner_client: Client, hilt: Hilt, owner: User
) -> None:
    to = reverse("hilts_add", args=[hilt.pk])
    owner_client.post(to, {"usual": "emitter", "token": uuid4()})
    owner_client.post(to, {"name": "pod", "token": uuid4()})
    assert owner_client.post(to, {"name": " ", "token": uuid4()}).status_code == 422
    assert [each.name for each in hilt.sections.all()] == ["emitter", "pod"]


def test_section_that_somebody_changed_meanwhile_is_not_overwritten(
    owner_client: Client, section: Section, bench_hand: User, now: datetime
) -> None:
    section.refresh_from_db()
    seen, facts = section_mark(section), {"holds_blade": False, "blade_screw": "", "note": ""}
    hilts.change_section(
        section.pk, name="back grip", **facts, seen=seen, token=uuid4(), by=bench_hand, now=now
    )  # fmt: skip
    data = {"name": "front grip", "seen": seen, "token": uuid4()}
    answer = owner_client.post(reverse("hilts_change", args=[section.pk]), data)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Jory changed this first" in page
    assert 'value="front grip"' in page


def test_what_the_other_tablet_took_off_meanwhile_is_said_and_nothing_is_kept(
    owner_client: Client, hilt: Hilt, owner: User, bench_hand: User, now: datetime
) -> None:
    first, *_rest, last = make_sections(hilt, owner, now)
    hole = hilts.add_hole(first.pk, what="switch", note="", token=uuid4(), by=owner, now=now)
    step = hilts.add_step(
        hilt, words="pommel", how="", for_owner=True, wants_heat=False, firsts=[],
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    hilts.end_section(first.pk, token=uuid4(), by=bench_hand, now=now)
    hilts.end_step(step.pk, by=bench_hand, now=now)
    joint = {"kind": "thread", "seen": "none"}
    deeds: list[tuple[str, int, dict[str, Any]]] = [
        ("hilts_change", first.pk, {"name": "nose", "seen": "x"}),
        ("hilts_joint", first.pk, joint),
        ("hilts_joint", last.pk, joint),
        ("hilts_hole_add", first.pk, {"what": "switch"}),
        ("hilts_hole_measure", hole.pk, {"diameter": "12"}),
        ("hilts_step", step.pk, step_data("cap", seen="x")),
    ]
    for name, pk, data in deeds:
        told = owner_client.post(reverse(name, args=[pk]), {"token": uuid4(), **data})
        assert told.status_code == 303, name
        assert 'class="error"' in owner_client.get(told.headers["Location"]).content.decode(), name


def test_joint_is_noted_with_its_pitch_in_threads_an_inch(
    owner_client: Client, hilt: Hilt, owner: User, now: datetime
) -> None:
    first = make_sections(hilt, owner, now)[0]
    data = {"kind": "thread", "pitch": "20 tpi", "clock": "90", "seen": "none", "token": uuid4()}
    assert owner_client.post(reverse("hilts_joint", args=[first.pk]), data).status_code == 303
    found = shapes([hilt])[hilt.pk].sections[0].joint_known
    assert {name: each.value for name, each in found.items()} == {"pitch": 1.27, "clock": 90}


@pytest.mark.parametrize("junk", ["400", "north", "-3", "∞"])
def test_angle_beyond_a_turn_is_refused(
    owner_client: Client, hilt: Hilt, owner: User, now: datetime, junk: str
) -> None:
    first = make_sections(hilt, owner, now)[0]
    data = {"kind": "thread", "clock": junk, "seen": "none", "token": uuid4()}
    answer = owner_client.post(reverse("hilts_joint", args=[first.pk]), data)
    assert answer.status_code == 422
    assert not first.joints.exists()


def test_hole_is_written_down_measured_anew_and_taken_off(
    owner_client: Client, section: Section
) -> None:
    data = {"what": "switch", "diameter": "12", "from_front": "40", "around": "0"}
    to = reverse("hilts_hole_add", args=[section.pk])
    assert owner_client.post(to, {**data, "token": uuid4()}).status_code == 303
    hole = section.holes.get()
    to = reverse("hilts_hole_measure", args=[hole.pk])
    assert owner_client.post(to, {"diameter": "12.2", "token": uuid4()}).status_code == 303
    assert owner_client.post(to, {"token": uuid4()}).status_code == 422
    assert hole.measurements.count() == 4
    owner_client.post(reverse("hilts_hole_end", args=[hole.pk]))
    hole.refresh_from_db()
    assert hole.ended_at


def test_section_is_moved_and_taken_off(
    owner_client: Client, hilt: Hilt, owner: User, now: datetime
) -> None:
    _first, second, _third = make_sections(hilt, owner, now)
    second.refresh_from_db()
    data = {"to": 1, "seen": section_mark(second), "token": uuid4()}
    owner_client.post(reverse("hilts_move", args=[second.pk]), data)
    assert hilt.sections.earliest("position").name == "grip"
    owner_client.post(reverse("hilts_end", args=[second.pk]), {"token": uuid4()})
    assert hilt.sections.filter(ended_at=None).count() == 2
    assert measure(owner_client, second, bore="26").status_code == 303  # led back, nothing kept
    assert second.measurements.count() == 3


def test_page_for_a_build_shows_its_head_and_keeps_the_way_back(
    owner_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    assert build.hilt
    make_joints(make_sections(build.hilt, owner, now), owner, now)
    to = reverse("hilts_hilt", args=[build.hilt_id])
    page = owner_client.get(f"{to}?build={build.number}").content.decode()
    assert reverse("teardown_apart", args=[build.number]) in page
    assert f"/measure/?build={build.number}" in page


@pytest.mark.parametrize("number", ["²", "9" * 40, "9" * 5000, "-1", "x", "%00", "8"])
def test_odd_number_of_a_build_shows_the_hilt_alone(
    owner_client: Client, hilt: Hilt, number: str
) -> None:
    to = reverse("hilts_hilt", args=[hilt.pk])
    assert owner_client.get(f"{to}?build={number}").status_code == 200


@pytest.mark.parametrize("name", ["hilts_hilt", "hilts_steps"])
def test_hilt_that_is_not_there_is_not_found(owner_client: Client, name: str) -> None:
    for pk in ("7", "9" * 30):
        assert (
            owner_client.get(f"/hilt/{pk}/" + "steps/" * (name == "hilts_steps")).status_code == 404
        )


def test_told_at_the_quote_before_anything_came(
    owner_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.BOOKED)
    to = reverse("hilts_hilt", args=[build.hilt_id])
    assert to in owner_client.get(f"/orders/{build.item.order.number}/").content.decode()
    assert to in owner_client.get(f"/customers/{build.item.order.customer_id}/").content.decode()
    section = hilts.add_section(build.hilt, "grip", token=uuid4(), by=owner, now=now)
    page = owner_client.get(f"{to}?build={build.number}").content.decode()
    assert re.search(r'value="told"[^>]*checked', page)
    measure(owner_client, section, bore="27", basis="told")
    assert known(section)["bore"][0] == 27


def step_data(words: str, *firsts: int, **more: Any) -> dict[str, Any]:
    return {
        "words": words,
        "how": "",
        "for_owner": "on",
        "firsts": firsts,
        "token": uuid4(),
        **more,
    }


def test_steps_are_written_and_put_in_order_by_ticks(owner_client: Client, hilt: Hilt) -> None:
    add = reverse("hilts_step_add", args=[hilt.pk])
    owner_client.post(add, step_data("pommel"))
    pommel = hilt.steps.get()
    owner_client.post(add, step_data("ring", pommel.pk))
    owner_client.post(add, step_data("screw", pommel.pk))
    page = owner_client.get(reverse("hilts_steps", args=[hilt.pk])).content.decode()
    assert "in any order" in page
    assert [row.label for row in take_aparts([hilt])[hilt.pk].rows] == ["1", "2a", "2b"]


def test_circle_is_named_beside_the_ticks_and_nothing_typed_is_lost(
    owner_client: Client, hilt: Hilt
) -> None:
    add = reverse("hilts_step_add", args=[hilt.pk])
    owner_client.post(add, step_data("pommel"))
    pommel = hilt.steps.get()
    owner_client.post(add, step_data("ring", pommel.pk))
    ring = hilt.steps.get(words="ring")
    data = step_data("pommel cap", ring.pk, seen=step_mark(pommel, []))
    answer = owner_client.post(reverse("hilts_step", args=[pommel.pk]), data)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "pommel cap → ring → pommel cap" in page
    assert 'value="pommel cap"' in page
    assert f'id="t{pommel.pk}-firsts_error"' in page
    pommel.refresh_from_db()
    assert pommel.words == "pommel"


@pytest.mark.parametrize("junk", ["abc", "0", "-1", "99999999999999999999"])
def test_step_that_is_not_on_the_list_is_not_waited_for(
    owner_client: Client, hilt: Hilt, junk: str
) -> None:
    add = reverse("hilts_step_add", args=[hilt.pk])
    owner_client.post(add, step_data("pommel"))
    data = {**step_data("ring"), "firsts": [junk]}
    assert owner_client.post(add, data).status_code == 422
    assert hilt.steps.count() == 1
