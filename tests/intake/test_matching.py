"""Parcels: logged once, matched, and what goes along; a wrong match corrected."""

from datetime import datetime, timedelta
from functools import partial
from uuid import uuid4

import pytest

from builds.gates.conditions import conditions
from builds.intake import actions as intake
from builds.intake.actions import Refused
from builds.intake.models import Arrival, View
from builds.intake.queries import facts, unmatched
from builds.models import Belonging, Build, Photo, Place
from builds.progress import actions as progress
from builds.progress.states import State
from shop.history.models import Entry
from shop.models import User
from tests.makers import at_once, check_cell, make_arrival, make_blob, make_build, make_tray

pytestmark = pytest.mark.django_db


def open_codes(build: Build) -> set[str]:
    """The conditions that a build meets."""
    return {found.code for found in conditions([build.pk])[build.pk] if found.is_open}


@pytest.fixture
def full_box(owner: User, now: datetime) -> Arrival:
    """A parcel that nobody can place, with a photo, belongings and a look at its cell."""
    arrival = make_arrival(owner, now)
    intake.make_default_views()
    view = View.objects.get(code="box-shut")
    intake.add_photo(make_blob(now), arrival=arrival, view=view, by=owner, now=now)
    intake.add_belongings(arrival, [("stand", 1), ("charger", 2)], owner, now)
    intake.check_cell(
        build=None, arrival=arrival, result="good", millivolts=3600, note="", by=owner, now=now
    )
    return arrival


def test_same_token_is_one_arrival(owner: User, now: datetime) -> None:
    token = uuid4()
    first = intake.receive(token=token, fields={"box": "wet"}, by=owner, now=now)
    again = intake.receive(token=token, fields={"box": "sound"}, by=owner, now=now)
    assert (first, again.box) == (again, "wet")
    assert Entry.objects.filter(verb="arrived").count() == 1


def test_matching_hands_everything_over(full_box: Arrival, owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    intake.match(full_box, build, owner, now)
    known = facts([build.pk])[build.pk]
    assert known.arrivals == [full_box.pk]
    assert len(known.view_ids) == 1
    assert known.unaccounted == ["stand", "charger"]
    assert known.cell is not None
    assert not unmatched().exists()


def test_matched_twice_is_matched_once(full_box: Arrival, owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    first = intake.match(full_box, build, owner, now)
    assert intake.match(full_box, build, owner, now) == first
    assert build.photos.count() == 1


def test_ended_build_gets_no_parcel(full_box: Arrival, owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    with pytest.raises(Refused, match="has ended"):
        intake.match(full_box, build, owner, now)


def test_same_bytes_are_one_photo(owner: User, now: datetime) -> None:
    arrival, build = make_arrival(owner, now), make_build(owner, now)
    intake.match(arrival, build, owner, now)
    for _twice in range(2):
        intake.add_photo(make_blob(now, b"same"), arrival=arrival, by=owner, now=now)
        intake.add_photo(make_blob(now, b"same"), build=build, by=owner, now=now)
    assert (arrival.photos.count(), build.photos.count()) == (1, 1)


def test_view_named_later_reaches_the_build(owner: User, now: datetime) -> None:
    intake.make_default_views()
    view = View.objects.get(code="side-a")
    arrival, build, blob = make_arrival(owner, now), make_build(owner, now), make_blob(now)
    intake.match(arrival, build, owner, now)
    intake.add_photo(blob, arrival=arrival, by=owner, now=now)
    intake.add_photo(blob, arrival=arrival, view=view, by=owner, now=now)
    assert facts([build.pk])[build.pk].view_ids == {view.pk}


# Two hilts in one parcel


def test_two_hilts_in_one_box_are_asked_for_belongings_once(
    full_box: Arrival, owner: User, now: datetime
) -> None:
    one, other = make_build(owner, now, State.INTAKE), make_build(owner, now, State.INTAKE)
    intake.match(full_box, one, owner, now)
    intake.match(full_box, other, owner, now)
    assert "belongings" in open_codes(one) & open_codes(other)
    assert facts([other.pk])[other.pk].unaccounted == []


def test_second_hilt_gets_the_photos_and_a_cell_check_of_its_own(
    full_box: Arrival, owner: User, now: datetime
) -> None:
    one, other = make_build(owner, now, State.INTAKE), make_build(owner, now, State.INTAKE)
    intake.match(full_box, one, owner, now)
    intake.match(full_box, other, owner, now)
    assert other.photos.count() == 1
    assert "cell" in open_codes(one)
    assert "cell" not in open_codes(other)


def test_belonging_that_nobody_claims_is_answered_for_by_both(
    full_box: Arrival, owner: User, now: datetime
) -> None:
    one, other = make_build(owner, now), make_build(owner, now)
    intake.match(full_box, one, owner, now)
    intake.match(full_box, other, owner, now)
    intake.add_belongings(full_box, [("sticker", 1)], owner, now)
    known = facts([one.pk, other.pk])
    assert "sticker" in known[one.pk].unaccounted
    assert known[other.pk].unaccounted == ["sticker"]
    intake.claim_belonging(Belonging.objects.get(what="sticker"), other, owner, now)
    assert "sticker" not in facts([one.pk])[one.pk].unaccounted


def test_cell_of_one_of_two_hilts_must_be_named(
    full_box: Arrival, owner: User, now: datetime
) -> None:
    for _each in range(2):
        intake.match(full_box, make_build(owner, now), owner, now)
    with pytest.raises(Refused, match="Say whose cell"):
        intake.check_cell(
            build=None, arrival=full_box, result="none", millivolts=None, note="", by=owner,
            now=now,
        )  # fmt: skip


def test_cell_checked_on_the_parcel_counts_for_its_only_build(owner: User, now: datetime) -> None:
    arrival, build = make_arrival(owner, now), make_build(owner, now)
    intake.match(arrival, build, owner, now)
    intake.check_cell(
        build=None, arrival=arrival, result="aside", millivolts=None, note="", by=owner, now=now
    )
    assert facts([build.pk])[build.pk].why_cell_stays == "aside"


# Belongings


def test_belonging_said_again_is_counted_up(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    intake.add_belongings(arrival, [("Blade", 1)], owner, now)
    intake.add_belongings(arrival, [("blade ", 2)], owner, now)
    assert list(arrival.belongings.values_list("what", "quantity")) == [("Blade", 3)]


def test_nothing_else_is_taken_back_by_a_belonging(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    intake.nothing_else(arrival, owner, now)
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    arrival.refresh_from_db()
    assert not arrival.nothing_else


def test_nothing_else_is_refused_beside_a_belonging(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    with pytest.raises(Refused, match="written down already"):
        intake.nothing_else(arrival, owner, now)


# A wrong match


@pytest.fixture
def mistaken(full_box: Arrival, owner: User, now: datetime) -> tuple[Build, Build]:
    """The build that a parcel was wrongly matched to and worked on, and the right one."""
    wrong, right = make_build(owner, now), make_build(owner, now)
    intake.match(full_box, wrong, owner, now)
    place = Place.objects.create(name="Shelf W")
    progress.put(wrong.pk, tray=make_tray(), place=place, by=owner, now=now)
    intake.note_condition(wrong, section="grip", grade="worn", words="dull", by=owner, now=now)
    view = View.objects.get(code="side-a")
    photo = intake.add_photo(make_blob(now), build=wrong, view=view, by=owner, now=now)
    intake.describe_photo(photo, view=view, caption="scratch", shared=True, by=owner, now=now)
    intake.add_belongings(full_box, [("pin", 1)], owner, now)
    check_cell(wrong, owner, now + timedelta(minutes=1), "aside")
    return wrong, right


@pytest.mark.parametrize("way", ["rematch", "unmatch, then match"])
def test_corrected_match_leaves_nothing_behind(
    way: str, full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    wrong, right = mistaken
    wrong.refresh_from_db()
    stood = (wrong.tray, wrong.place)
    if way == "rematch":
        intake.rematch(full_box, wrong, right, owner, now)
    else:
        intake.unmatch(full_box, wrong, owner, now)
        intake.match(full_box, right, owner, now)
    wrong.refresh_from_db()
    right.refresh_from_db()
    assert (wrong.tray, wrong.place) == (None, None)
    assert (right.tray, right.place) == stood
    for left in ("photos", "belongings", "cell_checks", "condition_notes"):
        assert not getattr(wrong, left).exists(), left
    known = facts([right.pk])[right.pk]
    assert len(known.view_ids) == 2
    assert known.unaccounted == ["stand", "charger", "pin"]
    assert known.notes == 1
    assert known.why_cell_stays == "aside"
    assert list(right.photos.exclude(caption="").values_list("caption", "shared")) == [
        ("scratch", False)
    ]


def test_photo_shown_to_the_wrong_customer_is_shown_no_more(
    full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    intake.rematch(full_box, *mistaken, owner, now)
    assert not Photo.objects.filter(shared=True).exists()


def test_note_on_a_hilt_of_another_does_not_open_the_gate(
    full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    wrong, _right = mistaken
    Build.objects.filter(pk=wrong.pk).update(state=State.INTAKE)
    intake.unmatch(full_box, wrong, owner, now)
    assert "condition" not in open_codes(wrong)


@pytest.mark.parametrize("state", [State.TEARDOWN, State.TEST])
def test_wrong_build_past_intake_is_sent_back_first(
    state: str, full_box: Arrival, owner: User, now: datetime
) -> None:
    wrong, right = make_build(owner, now), make_build(owner, now)
    intake.match(full_box, wrong, owner, now)
    Build.objects.filter(pk=wrong.pk).update(state=state, tray=make_tray())
    with pytest.raises(Refused, match="past intake"):
        intake.rematch(full_box, wrong, right, owner, now)
    with pytest.raises(Refused, match="past intake"):
        intake.unmatch(full_box, wrong, owner, now)
    assert wrong.photos.exists()


def test_right_build_keeps_the_tray_it_has(
    full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    wrong, right = mistaken
    own = make_tray()
    progress.put(right.pk, tray=own, place=None, by=owner, now=now)
    intake.rematch(full_box, wrong, right, owner, now)
    right.refresh_from_db()
    assert right.tray == own


def test_wrong_build_that_came_in_another_parcel_keeps_its_tray(
    full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    wrong, right = mistaken
    intake.match(make_arrival(owner, now), wrong, owner, now)
    intake.rematch(full_box, wrong, right, owner, now)
    wrong.refresh_from_db()
    assert wrong.tray is not None


def test_parcel_that_is_not_matched_is_not_unmatched(owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="not matched"):
        intake.unmatch(make_arrival(owner, now), make_build(owner, now), owner, now)


def test_history_tells_a_correction_on_both_builds(
    full_box: Arrival, mistaken: tuple[Build, Build], owner: User, now: datetime
) -> None:
    wrong, right = mistaken
    intake.rematch(full_box, wrong, right, owner, now)
    on_wrong = Entry.objects.filter(about=wrong.about).values_list("verb", flat=True)
    on_right = Entry.objects.filter(about=right.about).values_list("verb", flat=True)
    assert {"matched", "unmatched", "put"} <= set(on_wrong)
    assert {"matched", "put"} <= set(on_right)


@pytest.mark.django_db(transaction=True)
def test_photo_that_comes_in_while_a_parcel_is_matched_reaches_the_build(
    owner: User, now: datetime
) -> None:
    for _round in range(5):
        arrival, build = make_arrival(owner, now), make_build(owner, now)
        blobs = [make_blob(now) for _ in range(3)]
        photos = [
            partial(intake.add_photo, blob, arrival=arrival, by=owner, now=now) for blob in blobs
        ]
        answers = at_once(partial(intake.match, arrival, build, owner, now), *photos)
        assert not [answer for answer in answers if isinstance(answer, Exception)]
        assert build.photos.count() == 3
