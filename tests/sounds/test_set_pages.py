"""The pages of sound sets: what is found is named, nothing typed is lost, no form is believed."""

import io
import json
import zipfile
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.models import CardProfile, Slot, SoundSet
from shop.models import User
from tests.bench.pages import hidden, part, tap, words
from tests.makers import make_build, make_customer, make_part
from tests.sounds.making import WISH, looked, make_board, make_set, sine, wave, zipped

HUM = wave(sine(-24.0))
EMBER: dict[str, Any] = {"place": 1, "name": "Ember", "colour": "#ff4000", "look": "steady"}


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


def send(client: Client, files: list[tuple[str, bytes]], **fields: Any) -> Any:
    uploads = [SimpleUploadedFile(name, content) for name, content in files]
    said = {"licence": "anyone", "token": uuid4(), "name": "", "words": ""} | fields
    return client.post("/sounds/new/", said | {"sounds": uploads})


def test_set_comes_by_a_bench_hand_and_is_looked_at(bench_client: Client, now: datetime) -> None:
    answer = send(bench_client, [("Tide.zip", zipped({"hum.wav": HUM, "hum.wav.wav": HUM}))])
    assert answer.status_code == 303
    held = SoundSet.objects.get()
    assert held.name == "Tide"
    assert "0 of 2 files" in words(bench_client.get(f"/sounds/{held.pk}/"))
    looked(held, now)
    found = part(bench_client.get(f"/sounds/{held.pk}/"), "found")
    assert "Double ending" in words(found)
    assert "hum.wav.wav" in found


def test_number_longer_than_any_breaks_no_page(
    owner_client: Client, owner: User, now: datetime
) -> None:
    held = make_set({"hum.wav": HUM}, owner, now)
    for page in (f"/sounds/{held.pk}/?board=", "/sounds/new/?build="):
        assert owner_client.get(page + "9" * 5_000).status_code == 200


def test_folder_keeps_where_each_file_lay(owner_client: Client) -> None:
    fields = {
        "licence": "own", "token": uuid4(), "paths": json.dumps(["Set/a/hum.wav", "Set/b/hum.wav"]),
        "folder": [SimpleUploadedFile("hum.wav", HUM), SimpleUploadedFile("hum.wav", HUM)],
    }  # fmt: skip
    assert owner_client.post("/sounds/new/", fields).status_code == 303
    held = SoundSet.objects.get()
    assert held.name == "Set"
    assert [file.path for file in held.files.all()] == ["Set/a/hum.wav", "Set/b/hum.wav"]


@pytest.mark.parametrize(
    ("files", "fields", "why"),
    [
        ([], {}, "Choose a zip, sound files or a folder."),
        ([("x.zip", b"no")], {"name": "Ebb"}, "This is no zip archive."),
        ([("hum.wav", HUM)], {"licence": "one-buyer", "name": "Ebb"}, "Say whose it is."),
    ],
)
def test_what_is_not_taken_is_said_and_nothing_typed_is_lost(
    owner_client: Client, files: list[tuple[str, bytes]], fields: dict[str, Any], why: str
) -> None:
    answer = send(owner_client, files, words="from the maker", **fields)
    assert answer.status_code == 422
    assert why in words(answer)
    assert 'value="from the maker"' in answer.content.decode()


def test_forged_slot_with_another_customers_set_is_refused(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    other = make_customer(now, "Sable")
    theirs = make_set({"hum.wav": HUM}, owner, now, licence="one-buyer", customer=other,
                      name="Sable’s own")  # fmt: skip
    here = f"/build/{build.number}/slots/"
    assert "Sable’s own" not in owner_client.get(here).content.decode()
    answer = owner_client.post(f"{here}add/", EMBER | {"token": uuid4(), "sound_set_id": theirs.pk})
    assert answer.status_code == 422
    assert not Slot.objects.exists()


def test_slot_gets_its_set_and_is_verified_by_one_tap(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    held = make_set({"hum.wav": HUM}, owner, now)
    here = f"/build/{build.number}/slots/"
    fields = EMBER | {"token": uuid4(), "sound_set_id": held.pk, "music": "Long March"}
    assert "Tide" in words(tap(bench_client, f"{here}add/", **fields))
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    slot = Slot.objects.get()
    seen = hidden(bench_client.get(here).content.decode(), "seen")
    assert "seen and heard on the unit" in words(
        tap(bench_client, f"{here}{slot.pk}/verify/", seen=seen)
    )
    prefixed = {
        f"slot-{slot.pk}-{name}": value
        for name, value in (EMBER | {"name": "Cinder", "sound_set_id": held.pk, "music": "",
                                     "seen": seen}).items()
    }  # fmt: skip
    assert "seen and heard on the unit" not in words(
        tap(bench_client, f"{here}{slot.pk}/", **prefixed)
    )
    slot.refresh_from_db()
    assert (slot.name, slot.verified_at, slot.verified_by) == ("Cinder", None, None)


def test_slot_that_shouts_is_named(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    for place, level in enumerate((-30.0, -30.0, -15.0), start=1):
        held = make_set({"hum.wav": wave(sine(level))}, owner, now, name=f"Set {place}")
        Slot.objects.create(build=build, **EMBER | {"place": place}, sound_set=held)
    said = words(bench_client.get(f"/build/{build.number}/slots/"))
    assert "Ember: hum is 15.0 LU louder than in the other slots." in said


def test_wish_is_written_by_the_shop(bench_client: Client, owner: User, now: datetime) -> None:
    board = make_part(owner, now, 1, kind="board")
    here = f"/sounds/wish/{board.pk}/"
    assert "The wish is kept." in words(tap(bench_client, here, **WISH, seen=""))
    assert CardProfile.objects.get(part=board).rate_hz == 44_100
    late = bench_client.post(here, WISH | {"rate_hz": 48_000, "seen": ""})
    assert late.status_code == 422
    assert "was first" in words(late)
    wrong = bench_client.post(here, WISH | {"letters": "a-z)(", "seen": ""})
    assert "ranges such as a-z" in words(wrong)


def test_only_boards_have_a_wish(owner_client: Client, owner: User, now: datetime) -> None:
    cell = make_part(owner, now, 1, kind="cell")
    assert owner_client.get(f"/sounds/wish/{cell.pk}/").status_code == 404


def test_copy_is_asked_for_and_saved_as_a_zip(
    bench_client: Client, owner: User, now: datetime
) -> None:
    board = make_board(owner, now)
    held = make_set({"a/hum.wav.wav": HUM}, owner, now)
    tap(bench_client, f"/sounds/{held.pk}/copy/", board=board.pk, token=uuid4())
    made = looked(SoundSet.objects.get(made_from=held), now)
    answer = bench_client.get(f"/sounds/{made.pk}/zip/")
    content = b"".join(answer.streaming_content)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["a/hum.wav"]
        assert archive.read("a/hum.wav") == HUM


def test_file_is_heard_in_the_page(bench_client: Client, owner: User, now: datetime) -> None:
    held = make_set({"hum.wav": HUM}, owner, now)
    file = held.files.get()
    answer = bench_client.get(f"/sounds/{held.pk}/file/{file.pk}/")
    assert b"".join(answer.streaming_content) == HUM
    assert answer.headers["Content-Type"] == "audio/wav"
    assert bench_client.get(f"/sounds/{held.pk + 1}/file/{file.pk}/").status_code == 404


def test_files_are_sorted_by_hand(bench_client: Client, owner: User, now: datetime) -> None:
    held = make_set({"x.wav": HUM}, owner, now)
    file = held.files.get()
    said = words(tap(bench_client, f"/sounds/{held.pk}/sort/", file=[file.pk], sort="hum"))
    assert "1 file sorted." in said
    assert "Tick the files" in words(tap(bench_client, f"/sounds/{held.pk}/sort/", sort="hum"))
    other = make_set({"x.wav": HUM}, owner, now, name="Ebb").files.get()
    tap(bench_client, f"/sounds/{held.pk}/sort/", file=[other.pk], sort="swing")
    other.refresh_from_db()
    assert other.sort == "other"


def test_set_is_changed_and_offered_no_more(
    owner_client: Client, owner: User, now: datetime
) -> None:
    held = make_set({"x.wav": HUM}, owner, now)
    here = f"/sounds/{held.pk}/"
    seen = hidden(owner_client.get(here).content.decode(), "seen")
    said = tap(owner_client, f"{here}change/", name="Ebb", licence="own", seen=seen)
    assert "The set is changed." in words(said)
    late = owner_client.post(f"{here}change/", {"name": "Flow", "licence": "own", "seen": seen})
    assert late.status_code == 422
    assert "was first" in words(late)
    seen = hidden(owner_client.get(here).content.decode(), "seen")
    assert "offered no more" in words(tap(owner_client, f"{here}end/", seen=seen))
    assert "Ebb" not in words(owner_client.get("/sounds/"))


def test_progress_comes_alone_to_htmx(owner_client: Client, owner: User, now: datetime) -> None:
    held = make_set({"x.wav": HUM}, owner, now)
    SoundSet.objects.update(state="looking")
    headers = {"HX-Request": "true", "HX-Target": "looking"}
    answer = owner_client.get(f"/sounds/{held.pk}/", headers=headers)
    assert "1 of 1 files" in words(answer)
    assert "<html" not in answer.content.decode()
