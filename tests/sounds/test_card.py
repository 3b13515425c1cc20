"""The card: its list, a card held against it, what is kept so that it can be made again."""

import hashlib
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, transaction
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.actions.cards import check_card, list_card
from builds.sounds.audit.listing import NoList, compare, read_list
from builds.sounds.models import CardCheck, CardKept, CardListing, Slot, SoundSet
from builds.sounds.queries.cards import card_of
from builds.sounds.refusals import Refused
from shop.models import User
from tests.bench.pages import tap, words
from tests.makers import make_build
from tests.sounds.making import make_board, make_set, sine, wave

HUM, SWING = wave(sine(-24.0)), wave(sine(-18.0, hertz=400))
A, B = "a" * 64, "b" * 64


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    built = make_build(owner, now, State.INSTALL)
    held = make_set({"hum.wav": HUM, "swing/swing1.wav": SWING}, owner, now)
    known: dict[str, Any] = {"build": built, "colour": "#ff4000", "sound_set": held}
    Slot.objects.create(place=1, name="Ember Glow", **known)
    Slot.objects.create(place=2, name="Frost", **known)
    return built


def sums(listing: CardListing) -> str:
    return "".join(f"{digest}  {path}\n" for path, _size, digest in listing.entries)


def test_list_names_every_file_with_its_bytes_and_its_sum(
    build: Build, owner: User, now: datetime
) -> None:
    token = uuid4()
    made = list_card(build.pk, token=token, by=owner, now=now)
    assert [path for path, _size, _digest in made.entries] == [
        "01_Ember_Glow/hum.wav", "01_Ember_Glow/swing/swing1.wav",
        "02_Frost/hum.wav", "02_Frost/swing/swing1.wav",
    ]  # fmt: skip
    assert made.entries[0] == [
        "01_Ember_Glow/hum.wav", len(HUM), hashlib.sha256(HUM).hexdigest()
    ]  # fmt: skip
    assert made.total_bytes == 2 * (len(HUM) + len(SWING))
    assert list_card(build.pk, token=token, by=owner, now=now) == made


def test_list_waits_until_every_set_is_through(build: Build, owner: User, now: datetime) -> None:
    SoundSet.objects.update(state="looking")
    with pytest.raises(Refused, match="Still being looked at: Tide"):
        list_card(build.pk, token=uuid4(), by=owner, now=now)


def test_card_takes_whole_clusters(build: Build, owner: User, now: datetime) -> None:
    make_board(owner, now, card_mib=1)
    takes = card_of(build).takes
    assert takes.used % (32 * 1024) == 0
    assert takes.used == (4 * 3 + 5) * 32 * 1024  # 88,244 bytes each, five folders
    assert takes.free == 1024 * 1024 - takes.used


def test_what_a_card_has_against_its_list_is_named(
    build: Build, owner: User, now: datetime
) -> None:
    made = list_card(build.pk, token=uuid4(), by=owner, now=now)
    same = check_card(made.pk, sums(made), token=uuid4(), by=owner, now=now)
    assert (same.same, same.missing, same.changed, same.extra) == (4, [], [], [])
    lines = sums(made).splitlines()
    lines[0] = A + lines[0][64:]
    text = "\n".join([*lines[:3], f"{B}  notes.txt"])
    found = check_card(made.pk, text, token=uuid4(), by=owner, now=now)
    assert found.changed == ["01_Ember_Glow/hum.wav"]
    assert found.missing == ["02_Frost/swing/swing1.wav"]
    assert (found.extra, found.same) == (["notes.txt"], 2)


def test_what_was_found_of_a_card_is_never_rewritten(
    build: Build, owner: User, now: datetime
) -> None:
    made = list_card(build.pk, token=uuid4(), by=owner, now=now)
    check_card(made.pk, sums(made), token=uuid4(), by=owner, now=now)
    for table in (CardListing, CardCheck):
        with pytest.raises(DatabaseError), transaction.atomic():
            table.objects.all().delete()


@pytest.mark.parametrize(
    ("text", "paths"),
    [
        (f"{A}  a/b.wav\n", ["a/b.wav"]),
        (f"{A.upper()} *./a/b.wav\r\n", ["a/b.wav"]),
        (f"SHA256 (a/b.wav) = {A}\n", ["a/b.wav"]),
        (f"\\{A}  a\\\\b.wav\n", ["a/b.wav"]),
        (f"\ufeff# made today\n\n{A}  a/ü.wav\n", ["a/ü.wav"]),
    ],
)
def test_lists_of_several_programs_are_read(text: str, paths: list[str]) -> None:
    assert list(read_list(text)) == paths


@pytest.mark.parametrize(
    ("text", "line"), [("", 0), (f"{A}  a\nhello\n", 2), ("abc", 1), (f"{A}  a\0b", 1)]
)
def test_what_is_no_list_says_at_which_line(text: str, line: int) -> None:
    with pytest.raises(NoList) as error:
        read_list(text)
    assert error.value.line == line


def test_folder_around_the_card_and_what_systems_leave_do_not_count() -> None:
    wanted = {"1/hum.wav": A, "2/hum.wav": B}
    found = {"CARD/1/hum.wav": A, "CARD/2/hum.wav": B, "CARD/.cache/x": A}
    assert compare(wanted, found).is_none


def test_page_makes_the_list_and_checks_a_card(bench_client: Client, build: Build) -> None:
    here = f"/build/{build.number}/card/"
    assert "Not made yet" in words(bench_client.get(here))
    assert "The list is made." in words(tap(bench_client, f"{here}list/", token=uuid4()))
    made = CardListing.objects.get()
    text = bench_client.get(f"{here}list/{made.pk}/").content.decode()
    assert text == sums(made)
    upload = SimpleUploadedFile("card.txt", text.encode())
    said = words(tap(bench_client, f"{here}check/", token=uuid4(), listing=upload))
    assert "Every file is there, byte for byte, and nothing more." in said
    said = words(tap(bench_client, f"{here}check/", token=uuid4(), sums=text.splitlines()[0]))
    assert "The card is not as its list." in said
    Slot.objects.filter(place=2).update(name="Rime")
    assert "make the list anew" in words(bench_client.get(here))


def test_button_after_a_check_by_script_does_not_scold(bench_client: Client, build: Build) -> None:
    here = f"/build/{build.number}/card/"
    tap(bench_client, f"{here}list/", token=uuid4())
    assert "Choose the list" in words(bench_client.post(f"{here}check/", {"token": uuid4()}))
    listed = sums(CardListing.objects.get())
    tap(bench_client, f"{here}check/", token=uuid4(), sums=listed)
    answer = bench_client.post(f"{here}check/", {"token": uuid4()}, follow=True)
    assert answer.status_code == 200
    assert "Jory held it against its list already" in words(answer)
    assert CardCheck.objects.count() == 1


def test_wrong_list_is_refused_beside_the_form(bench_client: Client, build: Build) -> None:
    here = f"/build/{build.number}/card/"
    tap(bench_client, f"{here}list/", token=uuid4())
    answer = bench_client.post(f"{here}check/", {"token": uuid4(), "sums": "hello"})
    assert answer.status_code == 422
    assert "Line 1 is no checksum and path" in words(answer)


def test_image_settings_and_firmware_are_kept_as_they_are(
    bench_client: Client, build: Build
) -> None:
    here, token = f"/build/{build.number}/card/", uuid4()
    for _tap in range(2):
        image = SimpleUploadedFile("card.img", b"\0\1\2")
        tap(bench_client, f"{here}keep/", token=token, kind="image", upload=image, version="")
    kept = CardKept.objects.get()
    answer = bench_client.get(f"{here}kept/{kept.pk}/")
    assert b"".join(answer.streaming_content) == b"\0\1\2"
    said = words(tap(bench_client, f"{here}keep/", token=uuid4(), kind="firmware", version="4.2"))
    assert "4.2" in said
    empty = bench_client.post(f"{here}keep/", {"token": uuid4(), "kind": "settings"})
    assert empty.status_code == 422
    assert (
        "card.img" not in words(tap(bench_client, f"{here}kept/{kept.pk}/end/")).split("Kept of")[0]
    )


def test_card_is_saved_as_a_zip(bench_client: Client, build: Build) -> None:
    answer = bench_client.get(f"/build/{build.number}/card/zip/")
    assert b"01_Ember_Glow/swing/swing1.wav" in b"".join(answer.streaming_content)
