"""Condition at a spot on a photo: tapped, said, kept; the next one right after."""

from datetime import datetime

import pytest
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from builds.intake import actions as intake
from builds.intake.models import ConditionNote, Photo
from builds.models import Build
from builds.progress.states import State
from shop.files.actions import keep
from shop.files.rendering import render
from shop.models import User
from tests.bench.pages import part, tap, words
from tests.files.pictures import encoded, heic, picture, upload
from tests.makers import make_build

pytestmark = pytest.mark.usefixtures("media")
SAID = {"section": "grip", "grade": "worn", "words": "lacquer thin"}


@pytest.fixture
def held(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INTAKE)


@pytest.fixture
def photo(held: Build, owner: User, now: datetime) -> Photo:
    """A photo that was taken upright by a phone: 600 wide and 800 high."""
    blob = keep(upload(heic(picture(800, 600), orientation=6)), now)
    render(blob.pk, now)
    return intake.add_photo(blob, build=held, by=owner, now=now)


@pytest.fixture
def page(held: Build, photo: Photo) -> str:
    """Where the photo is marked."""
    return f"/build/{held.number}/mark/{photo.pk}/"


def test_tapped_spot_is_shown_before_anything_is_kept(bench_client: Client, page: str) -> None:
    shown = bench_client.post(page, {"phone.x": "148", "phone.y": "100", **SAID})
    assert shown.status_code == 200
    assert 'class="tapped" cx="50.00%" cy="25.32%"' in shown.content.decode()
    assert "lacquer thin" in shown.content.decode()  # what was typed before the tap
    assert not ConditionNote.objects.exists()


def test_note_is_kept_at_its_spot(bench_client: Client, page: str, photo: Photo) -> None:
    tap(bench_client, page, across="0.25", down="0.75", keep="yes", **SAID)
    note = ConditionNote.objects.get()
    assert (note.photo, note.mark_x, note.mark_y) == (photo, 0.25, 0.75)


def test_marks_are_numbered_on_photo_and_in_list(
    bench_client: Client, page: str, held: Build
) -> None:
    for across in ("0.25", "0.5"):
        tap(bench_client, page, across=across, down="0.75", keep="yes", **SAID)
    shown = part(bench_client.get(f"/build/{held.number}/"), "condition")
    assert '<circle cx="25.00%" cy="75.00%"' in shown
    assert '<text x="50.00%" y="75.00%" dy="0.36em">2</text>' in shown
    assert "mark 1 worn : lacquer thin" in words(shown)


def test_note_without_a_spot_belongs_to_the_photo_and_bears_no_number(
    bench_client: Client, page: str, photo: Photo, held: Build
) -> None:
    tap(bench_client, page, across="", down="", keep="yes", **SAID)
    assert ConditionNote.objects.get().photo == photo
    assert "<circle" not in part(bench_client.get(f"/build/{held.number}/"), "condition")


def test_key_pressed_in_a_field_is_no_tap(bench_client: Client, page: str) -> None:
    fields = {"phone.x": "0", "phone.y": "0", "across": "0.25", "down": "0.75"}
    tap(bench_client, page, **fields, **SAID)
    assert ConditionNote.objects.get().mark_x == 0.25


def test_fault_without_words_is_refused_and_the_spot_stays(bench_client: Client, page: str) -> None:
    reply = bench_client.post(page, {**SAID, "words": "", "across": "0.25", "down": "0.75"})
    assert reply.status_code == 422
    assert "Say what is worn, marked or damaged." in reply.content.decode()
    assert 'cx="25.00%"' in reply.content.decode()
    assert not ConditionNote.objects.exists()


def test_sound_section_needs_no_words(bench_client: Client, page: str) -> None:
    tap(bench_client, page, section="grip", grade="sound", words="", across="0.2", down="0.2")
    assert ConditionNote.objects.get().grade == "sound"


@pytest.mark.parametrize(("across", "down"), [("1.5", "0.2"), ("nan", "0.2"), ("x", "0.2")])
def test_spot_beside_the_photo_is_refused(
    bench_client: Client, page: str, across: str, down: str
) -> None:
    assert bench_client.post(page, {**SAID, "across": across, "down": down}).status_code == 422
    assert not ConditionNote.objects.exists()


def test_photo_of_another_build_cannot_be_marked(
    bench_client: Client, photo: Photo, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.INTAKE)
    assert bench_client.get(f"/build/{other.number}/mark/{photo.pk}/").status_code == 404


def test_marked_photo_is_not_taken_off(bench_client: Client, page: str, photo: Photo) -> None:
    tap(bench_client, page, across="0.25", down="0.75", keep="yes", **SAID)
    reply = tap(bench_client, f"/photo/{photo.pk}/drop/")
    assert "is marked on this photo" in words(reply)
    assert Photo.objects.filter(pk=photo.pk).exists()


@pytest.fixture
def screen(browser: Browser, bench_client: Client, live_server: LiveServer) -> Page:
    """A phone without scripts, signed in."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740}, base_url=live_server.url, java_script_enabled=False
    )
    session = bench_client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
    return context.new_page()


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("width", "name"), [(360, "phone"), (820, "tablet"), (1280, "desk")])
def test_spot_is_where_it_was_tapped_on_every_screen_without_scripts(
    screen: Page, page: str, width: int, name: str
) -> None:
    screen.set_viewport_size({"width": width, "height": 900})
    screen.goto(page)
    photo = screen.locator(f"input[name={name}]")
    box = photo.bounding_box()
    assert box
    photo.click(position={"x": box["width"] * 0.3, "y": box["height"] * 0.6})
    expect(screen.locator(f".fits-{name} circle.tapped")).to_be_attached()
    assert float(screen.input_value("[name=across]")) == pytest.approx(0.3, abs=0.01)
    assert float(screen.input_value("[name=down]")) == pytest.approx(0.6, abs=0.01)
    screen.fill("[name=section]", "grip")
    screen.check("[name=grade][value=worn]")
    screen.fill("[name=words]", "lacquer thin")
    screen.keyboard.press("Enter")
    expect(screen.locator("main")).to_contain_text("Tap the next point")
    assert ConditionNote.objects.get().mark_x == pytest.approx(0.3, abs=0.01)


def test_photo_shot_flat_is_fitted_into_the_width(
    bench_client: Client, held: Build, owner: User, now: datetime
) -> None:
    blob = keep(upload(encoded(picture(800, 400))), now)
    flat = intake.add_photo(blob, build=held, by=owner, now=now)
    shown = bench_client.get(f"/build/{held.number}/mark/{flat.pk}/").content.decode()
    assert 'width="296" height="148"' in shown
