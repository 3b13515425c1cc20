"""Sound sets: kept as they came, looked at one by one, offered to whom they may be."""

from datetime import datetime, timedelta
from uuid import uuid4

import numpy as np
import pytest
from django.db import IntegrityError, transaction

from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.actions import add_slot, change_slot, looking, seen_as
from builds.sounds.actions.copies import ask_copy
from builds.sounds.actions.sets import (
    SetFacts,
    bring,
    change_set,
    end_set,
    look_again,
    seen_of,
    sort_files,
)
from builds.sounds.models import Slot, SoundFile, SoundSet
from builds.sounds.queries.sets import allowed_for, audit_of, sets_named, wish_of
from builds.sounds.refusals import Overtaken, Refused
from builds.sounds.states import SetState
from shop.files.queries import document_of
from shop.models import Customer, User
from tests.makers import make_build, make_customer
from tests.sounds.making import (
    as_float,
    came,
    looked,
    make_board,
    make_set,
    profile_of,
    sine,
    wave,
    with_chunk,
    zipped,
)

HUM = wave(sine(-24.0))
EMBER = {"place": 1, "name": "Ember", "colour": "#ff4000", "look": "steady"}


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


@pytest.fixture
def other(now: datetime) -> Customer:
    return make_customer(now, "Sable")


def codes(held: SoundSet, board: object = None) -> dict[str, list[str]]:
    wish = wish_of(profile_of(board)) if board else None
    found = audit_of(list(held.files.all()), wish)
    return {group.code: [file.path for file in group.files] for group in found.groups}


def test_five_planted_faults_are_each_named(owner: User, now: datetime) -> None:
    board = make_board(owner, now)
    held = make_set(
        {
            "hum.wav": HUM,
            "hum2.wav.wav": HUM,
            "swing1.wav": as_float(sine()),
            "swing2.wav": wave(sine())[:-2000],
            "clash1.wav": with_chunk(b"LIST", b"INFOIART\x04\0\0\0who\0", wave(sine())),
            "clash2.wav": wave(np.clip(sine(6.0), -1, 1)),
        },
        owner,
        now,
    )
    assert held.state == SetState.LOOKED
    found = codes(held, board)
    assert found["double-ending"] == ["hum2.wav.wav"]
    assert found["float"] == ["swing1.wav"]
    assert found["truncated"] == ["swing2.wav"]
    assert found["metadata"] == ["clash1.wav"]
    assert found["clipped"] == ["clash2.wav"]
    assert "hum.wav" not in {path for paths in found.values() for path in paths}


def test_set_is_held_against_what_the_board_wants(owner: User, now: datetime) -> None:
    board = make_board(owner, now, longest_name=12)
    held = make_set(
        {
            "hum.wav": wave(sine(rate=48_000), rate=48_000),
            "swing.wav": wave(channels=2),
            "a name with spaces.wav": HUM,
            "clash.mp3": HUM,
        },
        owner,
        now,
    )
    found = codes(held, board)
    assert found["rate_hz"] == ["hum.wav"]
    assert found["channels"] == ["swing.wav"]
    assert found["long-name"] == found["letters"] == ["a name with spaces.wav"]
    assert found["wrong-ending"] == found["ending"] == ["clash.mp3"]


def test_hum_is_held_against_hum_alone(owner: User, now: datetime) -> None:
    loud = {f"clash{n}.wav": wave(sine(-8.0)) for n in range(3)}
    soft = {f"hum{n}.wav": wave(sine(-30.0)) for n in range(3)}
    held = make_set(loud | soft, owner, now)
    assert "louder" not in codes(held)
    shouts = make_set(soft | {"hum9.wav": wave(sine(-15.0))}, owner, now, name="Shout")
    assert codes(shouts)["louder"] == ["hum9.wav"]


def test_what_came_is_kept_byte_for_byte(owner: User, now: datetime) -> None:
    held = make_set({"a/hum.wav": HUM}, owner, now)
    file = held.files.get()
    assert file.blob is not None
    assert document_of(file.blob) == HUM
    assert held.archive is not None
    assert document_of(held.archive) == zipped({"a/hum.wav": HUM})


def test_loose_files_come_as_well(owner: User, now: datetime) -> None:
    facts = SetFacts("Loose", "own")
    files = [came("in/hum.wav", HUM), came("swing.wav", HUM), came("empty.wav", b"")]
    held = looked(bring(files, facts, token=uuid4(), by=owner, now=now), now)
    assert codes(held)["empty"] == ["empty.wav"]
    assert held.done == held.total == 3


def test_double_tap_keeps_one_set(owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        files = [came("set.zip", zipped({"hum.wav": HUM}))]
        bring(files, SetFacts("Twice", "own"), token=token, by=owner, now=now)
    assert SoundSet.objects.count() == 1


@pytest.mark.parametrize(
    ("files", "why"),
    [
        ([("set.zip", b"no zip")], "no zip archive"),
        ([("../hum.wav", HUM)], "leads out"),
        ([("hum.wav", HUM), ("HUM.wav", HUM)], "one name to a card"),
        ([("set.zip", zipped({f"{n}.wav": b"x" for n in range(10_000)}))], "more than 2000 files"),
    ],
)
def test_what_is_not_taken_says_why_and_leaves_nothing(
    files: list[tuple[str, bytes]], why: str, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match=why):
        bring(
            [came(*each) for each in files], SetFacts("x", "own"),
            token=uuid4(), by=owner, now=now,
        )  # fmt: skip
    assert not SoundSet.objects.exists()


def test_worker_goes_on_where_it_was_stopped(owner: User, now: datetime) -> None:
    files = [came("set.zip", zipped({f"hum{n}.wav": HUM for n in range(3)}))]
    held = bring(files, SetFacts("Tide", "own"), token=uuid4(), by=owner, now=now)
    assert looking.look_at_next(held.pk, now)
    held.refresh_from_db()
    assert (held.state, held.done, held.total) == (SetState.LOOKING, 1, 3)
    assert looking.left_over(now) == []
    later = now + timedelta(minutes=2)
    assert looking.left_over(later) == [held.pk]
    assert looked(held, later).state == SetState.LOOKED
    assert looking.left_over(later + timedelta(hours=1)) == []
    assert not looking.look_at_next(held.pk, later)


def test_file_that_breaks_the_worker_is_given_up(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(path: object) -> None:
        raise MemoryError

    files = [came("set.zip", zipped({"hum.wav": HUM}))]
    held = bring(files, SetFacts("Tide", "own"), token=uuid4(), by=owner, now=now)
    with monkeypatch.context() as patch:
        patch.setattr(looking, "listen", break_down)
        for _try in range(looking.MOST_TRIES):
            with pytest.raises(MemoryError):
                looking.look_at_next(held.pk, now)
    assert looked(held, now).state == SetState.LOOKED
    assert codes(held) == {"gave-up": ["hum.wav"]}
    look_again(held.pk, by=owner, now=now)
    assert codes(looked(held, now)) == {}


def test_damaged_file_in_an_archive_is_told_and_the_rest_read(owner: User, now: datetime) -> None:
    content = bytearray(zipped({"bad.wav": wave(), "hum.wav": HUM}))
    content[200:260] = bytes(60)
    held = bring(
        [came("set.zip", bytes(content))], SetFacts("x", "own"), token=uuid4(), by=owner, now=now
    )
    assert codes(looked(held, now)) == {"damaged": ["bad.wav"]}


def test_sorts_are_changed_by_hand(owner: User, now: datetime) -> None:
    held = make_set({"hum.wav": HUM, "x1.wav": HUM}, owner, now)
    assert list(held.files.values_list("sort", flat=True)) == ["hum", "other"]
    ids = list(held.files.values_list("pk", flat=True))
    assert sort_files(held.pk, ids, "swing", by=owner, now=now) == 2
    assert sort_files(held.pk, ids, "swing", by=owner, now=now) == 0


# Licence


def test_set_of_one_buyer_is_offered_to_nobody_else(
    build: Build, other: Customer, owner: User, now: datetime
) -> None:
    mine = build.item.order.customer
    theirs = make_set({"hum.wav": HUM}, owner, now, licence="one-buyer", customer=other)
    free = make_set({"hum.wav": HUM}, owner, now, name="Free")
    own = make_set({"hum.wav": HUM}, owner, now, name="Mine", licence="one-buyer", customer=mine)
    assert set(allowed_for(mine.pk)) == {free, own}
    assert theirs in allowed_for(other.pk)


def test_set_of_another_customer_is_refused_by_the_action(
    build: Build, other: Customer, owner: User, now: datetime
) -> None:
    theirs = make_set({"hum.wav": HUM}, owner, now, licence="one-buyer", customer=other)
    values = EMBER | {"sound_set_id": theirs.pk}
    with pytest.raises(Refused, match="may not be used for this customer"):
        add_slot(build.pk, values, token=uuid4(), by=owner, now=now)
    add_slot(build.pk, EMBER, token=uuid4(), by=owner, now=now)
    slot = Slot.objects.get()
    with pytest.raises(Refused, match="may not be used for this customer"):
        change_slot(slot.pk, values, seen=seen_as(slot), by=owner, now=now)


def test_set_of_another_customer_is_refused_by_the_database(
    build: Build, other: Customer, owner: User, now: datetime
) -> None:
    theirs = make_set({"hum.wav": HUM}, owner, now, licence="one-buyer", customer=other)
    with pytest.raises(IntegrityError), transaction.atomic():
        Slot.objects.create(build=build, **EMBER, sound_set=theirs)
    free = make_set({"hum.wav": HUM}, owner, now, name="Free")
    Slot.objects.create(build=build, **EMBER, sound_set=free)
    with pytest.raises(IntegrityError), transaction.atomic():
        SoundSet.objects.filter(pk=free.pk).update(licence="one-buyer", customer=other)


def test_licence_cannot_turn_against_a_card_that_has_the_set(
    build: Build, other: Customer, owner: User, now: datetime
) -> None:
    free = make_set({"hum.wav": HUM}, owner, now)
    add_slot(build.pk, EMBER | {"sound_set_id": free.pk}, token=uuid4(), by=owner, now=now)
    facts = SetFacts("Tide", "one-buyer", other)
    with pytest.raises(Refused, match="another customer’s card"):
        change_set(free.pk, facts, seen=seen_of(free), by=owner, now=now)


def test_set_on_a_card_is_not_ended(build: Build, owner: User, now: datetime) -> None:
    held = make_set({"hum.wav": HUM}, owner, now)
    add_slot(build.pk, EMBER | {"sound_set_id": held.pk}, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="stands on the card"):
        end_set(held.pk, seen=seen_of(held), by=owner, now=now)


def test_other_tablet_changed_the_set_first(owner: User, now: datetime) -> None:
    held = make_set({"hum.wav": HUM}, owner, now)
    seen = seen_of(held)
    change_set(held.pk, SetFacts("Ebb", "own"), seen=seen, by=owner, now=now)
    with pytest.raises(Overtaken, match="was first"):
        change_set(held.pk, SetFacts("Flow", "own"), seen=seen, by=owner, now=now)


@pytest.mark.parametrize(("text", "found"), [("tid", True), ("font", True), ("ebb", False)])
def test_sets_are_found_by_name_and_by_what_people_type(
    text: str, found: bool, owner: User, now: datetime
) -> None:
    make_set({"hum.wav": HUM}, owner, now)
    assert sets_named(text).exists() == found


# Copies


def test_copy_is_as_the_board_wants_and_the_original_stays(owner: User, now: datetime) -> None:
    board = make_board(owner, now, longest_name=12)
    bad = with_chunk(b"LIST", b"INFOx\0", wave(sine(rate=48_000), rate=48_000, channels=2))
    held = make_set(
        {"Set one/a long name.wav.wav": bad, "Set one/hum.wav": as_float(sine()),
         "readme.txt": b"hello", "broken.wav": b"RIFF"},
        owner, now,
    )  # fmt: skip
    copy = looked(ask_copy(held.pk, board.pk, token=uuid4(), by=owner, now=now), now)
    assert copy.state == SetState.LOOKED
    paths = set(copy.files.values_list("path", flat=True))
    assert paths == {"Set_one/a_long_n.wav", "Set_one/hum.wav", "readme.txt"}
    assert codes(copy, board) == {}
    facts = copy.files.get(path="Set_one/a_long_n.wav").facts
    assert (facts["rate_hz"], facts["bits"], facts["channels"]) == (44_100, 16, 1)
    assert facts["seconds"] == pytest.approx(1.0, abs=0.001)
    assert facts["lufs"] == pytest.approx(held.files.get(path__contains="long").facts["lufs"] - 3.0,
                                          abs=0.2)  # fmt: skip
    kept = held.files.get(path="Set one/a long name.wav.wav").blob
    assert kept is not None
    assert document_of(kept) == bad


def test_copy_is_of_whom_the_set_is(build: Build, owner: User, now: datetime) -> None:
    mine, board = build.item.order.customer, make_board(owner, now)
    held = make_set({"hum.wav": HUM}, owner, now, licence="one-buyer", customer=mine)
    token = uuid4()
    made = ask_copy(held.pk, board.pk, token=token, by=owner, now=now)
    assert (made.licence, made.customer, made.made_from) == ("one-buyer", mine, held)
    assert ask_copy(held.pk, board.pk, token=token, by=owner, now=now) == made
    with pytest.raises(Refused, match="still being looked at"):
        ask_copy(made.pk, board.pk, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="This is a copy"):
        ask_copy(looked(made, now).pk, board.pk, token=uuid4(), by=owner, now=now)


def test_nothing_to_copy_is_said(owner: User, now: datetime) -> None:
    held, board = make_set({"hum.wav": b"RIFF"}, owner, now), make_board(owner, now)
    with pytest.raises(Refused, match="no sound in it"):
        ask_copy(held.pk, board.pk, token=uuid4(), by=owner, now=now)
    assert SoundFile.objects.count() == 1
