"""The page of a build's parts: what it says, what it offers, who sees what."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.fitting.actions.parts import fit_part, reserve_part
from builds.fitting.models import BuildPart
from builds.models import Build
from builds.progress.states import State
from shop.models import House, Part, User
from shop.stores.actions.kits import add_kit, put_in_kit, set_minutes
from shop.stores.models import Supplier
from tests.fitting.making import plan, post, said
from tests.makers import make_arrival, make_build, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def speaker(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 2, name="speaker, 28 mm")


@pytest.fixture
def board(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 1, kind="board", name="board, two switches")


@pytest.fixture
def here(build: Build) -> str:
    return f"/build/{build.number}/parts/"


def test_empty_list_says_what_to_do(bench_client: Client, here: str) -> None:
    assert "No part listed yet" in said(bench_client.get(here))


def test_part_is_looked_up_added_reserved_and_fitted(
    bench_client: Client, build: Build, speaker: Part, here: str
) -> None:
    found = bench_client.get(here, {"begins": "Speak"})
    assert "speaker, 28 mm" in said(found)
    post(bench_client, f"{here}add/", part=speaker.pk, quantity=1)
    part = BuildPart.objects.get()
    assert "On the list" not in said(bench_client.get(here))
    assert "Reserved." in said(post(bench_client, f"{here}{part.pk}/reserve/"))
    token = str(uuid4())
    assert "Fitted." in said(post(bench_client, f"{here}{part.pk}/fit/", **{"fit-token": token}))
    part.refresh_from_db()
    assert part.fitted_by is not None
    assert part.fitted_by.name == "Jory"


def test_htmx_gets_the_choices_alone(bench_client: Client, speaker: Part, here: str) -> None:
    headers = {"HX-Request": "true", "HX-Target": "choices"}
    answer = bench_client.get(here, {"kind": "speaker"}, headers=headers)
    assert "speaker, 28 mm" in said(answer)
    assert "<html" not in answer.content.decode()


@pytest.mark.parametrize(
    "label", ["P{n:04d}", "p{n}", "http://192.0.2.10:8000/stores/parts/{pk}/", "P {n:04d} "]
)
def test_scanned_label_adds_its_part(
    label: str, bench_client: Client, speaker: Part, here: str
) -> None:
    text = label.format(n=speaker.number, pk=speaker.pk)
    answer = post(bench_client, f"{here}scan/", label=text)
    assert "On the list: speaker, 28 mm" in said(answer)
    assert BuildPart.objects.get().part == speaker


@pytest.mark.parametrize("label", ["P9999", "4711", "http://192.0.2.10:8000/bench/", "p\x00"])
def test_label_of_nothing_is_said_beside_the_field_with_what_was_typed(
    label: str, bench_client: Client, speaker: Part, here: str
) -> None:
    answer = post(bench_client, f"{here}scan/", label=label)
    assert answer.status_code == 422
    assert BuildPart.objects.count() == 0
    if "\x00" not in label:
        assert "No part has this label" in said(answer)
        assert f'value="{label}"' in answer.content.decode()


def test_same_scan_sent_twice_adds_once(bench_client: Client, speaker: Part, here: str) -> None:
    token = str(uuid4())
    for _tap in range(2):
        post(bench_client, f"{here}scan/", label=speaker.label, token=token)
    assert BuildPart.objects.count() == 1


@pytest.mark.parametrize("quantity", ["0", "-1", "many", "1000000000000", "", "1.5"])
def test_odd_quantities_are_refused(
    quantity: str, bench_client: Client, speaker: Part, here: str
) -> None:
    answer = post(bench_client, f"{here}add/", part=speaker.pk, quantity=quantity)
    assert answer.status_code == 422
    assert BuildPart.objects.count() == 0


def test_short_part_is_said_and_the_build_is_held_for_it(
    bench_client: Client, build: Build, board: Part, owner: User, now: datetime, here: str
) -> None:
    other = make_build(owner, now, State.INSTALL)
    reserve_part(plan(other, board, owner, now), token=uuid4(), by=owner, now=now)
    part = plan(build, board, owner, now)
    page = said(bench_client.get(here))
    assert "none in the stores" in page
    assert "Hold for it" in page
    for _tap in range(2):
        post(bench_client, f"{here}{part.pk}/wait/")
    held = build.holds.get()
    assert (held.words, held.reason, held.before) == (board.name, "parts", State.TEST)


def test_reserving_what_is_gone_meanwhile_says_who_has_it(
    bench_client: Client, build: Build, board: Part, owner: User, now: datetime, here: str
) -> None:
    part = plan(build, board, owner, now)
    other = make_build(owner, now, State.INSTALL)
    reserve_part(plan(other, board, owner, now), token=uuid4(), by=owner, now=now)
    answer = said(post(bench_client, f"{here}{part.pk}/reserve/"))
    assert "1 wanted, none free" in answer
    assert "Oda reserved 1 for" in answer


def test_board_is_fitted_with_its_number(
    bench_client: Client, build: Build, board: Part, owner: User, now: datetime, here: str
) -> None:
    part = plan(build, board, owner, now)
    reserve_part(part, token=uuid4(), by=owner, now=now)
    assert "Fit, note its number" in said(bench_client.get(here))
    fields = {"fit-token": str(uuid4()), "fit-serial": "SB 0042"}
    post(bench_client, f"{here}{part.pk}/fit/", **fields)
    assert "SB 0042" in said(bench_client.get(here))
    post(bench_client, f"{here}{part.pk}/serial/", **{**fields, "fit-serial": "SB 0043"})
    assert "SB 0043" in said(bench_client.get(here))


def test_second_tablet_is_told_beside_the_form(
    bench_client: Client, build: Build, board: Part, owner: User, now: datetime, here: str
) -> None:
    part = plan(build, board, owner, now)
    fit_part(part, serial="1", token=uuid4(), by=owner, now=now)
    fields = {"fit-token": str(uuid4()), "fit-serial": "2"}
    answer = post(bench_client, f"{here}{part.pk}/fit/", **fields)
    assert "Oda fitted board, two switches first" in said(answer)
    part.refresh_from_db()
    assert part.serial == "1"


def test_part_taken_off_on_the_other_tablet_is_said(
    bench_client: Client, build: Build, speaker: Part, owner: User, now: datetime, here: str
) -> None:
    part = plan(build, speaker, owner, now)
    off = {"off-token": str(uuid4()), "off-because": "", "off-whole": ""}
    post(bench_client, f"{here}{part.pk}/off/", **off)
    answer = post(bench_client, f"{here}{part.pk}/fit/", **{"fit-token": str(uuid4())})
    assert "off the list already" in said(answer)


def test_coming_out_without_a_reason_keeps_what_was_typed(
    bench_client: Client, build: Build, speaker: Part, owner: User, now: datetime, here: str
) -> None:
    part = plan(build, speaker, owner, now, 2)
    fit_part(part, token=uuid4(), by=owner, now=now)
    off = {"off-token": str(uuid4()), "off-because": " ", "off-whole": "1"}
    answer = post(bench_client, f"{here}{part.pk}/off/", **off)
    assert answer.status_code == 422
    assert "Say why it comes out" in said(answer)
    assert 'value="1"' in answer.content.decode()


def test_part_is_placed_and_swapped(
    bench_client: Client, build: Build, speaker: Part, owner: User, now: datetime, here: str
) -> None:
    other = make_part(owner, now, 1, name="speaker, 24 mm")
    part, under = plan(build, speaker, owner, now), plan(build, speaker, owner, now)
    place = {"place-position": "3", "place-lies_on": under.pk, "place-section": ""}
    post(bench_client, f"{here}{part.pk}/place/", **place)
    part.refresh_from_db()
    assert (part.position, part.lies_on) == (3, under)
    post(bench_client, f"{here}{part.pk}/swap/", part=other.pk)
    assert "speaker, 24 mm" in said(bench_client.get(here))


def test_kit_is_used_and_made(
    bench_client: Client, owner_client: Client, build: Build, speaker: Part, owner: User,
    now: datetime, here: str,
) -> None:  # fmt: skip
    kit = add_kit("one switch", "", token=uuid4(), by=owner, now=now)
    put_in_kit(kit.pk, speaker, 2, by=owner, now=now)
    set_minutes(kit.pk, {"install": 90}, by=owner, now=now)
    post(bench_client, f"{here}kit/", kit=kit.pk)
    page = said(bench_client.get(here))
    assert "one switch" in page
    assert "1.5 h as the kit guesses" in page
    make = {"make-name": "as built", "make-token": str(uuid4())}
    for _tap in range(2):
        assert "The kit as built is made" in said(post(bench_client, f"{here}make-kit/", **make))
    answer = post(
        bench_client, f"{here}make-kit/", **{"make-name": "as built", "make-token": str(uuid4())}
    )
    assert "There is a kit of this name already" in said(answer)


def test_customers_own_part_is_written_down_with_its_figures(
    bench_client: Client, build: Build, owner: User, now: datetime, here: str
) -> None:
    thing = make_arrival(owner, now).belongings.create(build=build, what="old speaker")
    page = f"{here}own/?belonging={thing.pk}&kind=speaker"
    assert "old speaker" in said(bench_client.get(f"{here}own/"))
    fields = {
        "own-token": str(uuid4()), "own-diameter_mm": "1 1/8 in", "own-depth_mm": "6",
        "own-ohm": "4", "own-power_mw": "",
    }  # fmt: skip
    answer = post(bench_client, page, **fields)
    assert answer.status_code == 422
    assert 'value="1 1/8 in"' in answer.content.decode()
    for _tap in range(2):
        answer = post(bench_client, page, **{**fields, "own-power_mw": "2 W"})
        assert "On the list: old speaker" in said(answer)
    part = BuildPart.objects.get()
    assert part.spec["diameter_mm"] == pytest.approx(28.575)
    assert "the customer's own" in said(bench_client.get(here))


def test_owner_sees_what_it_costs_and_the_bench_does_not(
    owner_client: Client, bench_client: Client, build: Build, speaker: Part, board: Part,
    owner: User, now: datetime, here: str,
) -> None:  # fmt: skip
    House.objects.update(currency="GBP")
    Part.objects.filter(pk=speaker.pk).update(cost_minor=430)
    part = plan(build, speaker, owner, now, 2)
    plan(build, board, owner, now)
    owners, benches = said(owner_client.get(here)), said(bench_client.get(here))
    assert "£8.60" in owners
    assert "1 part: the sum is too low" in owners
    assert "£" not in benches
    assert "at cost" not in benches
    assert "£8.60" in said(owner_client.get(f"{here}{part.pk}/"))
    assert "£" not in said(bench_client.get(f"{here}{part.pk}/"))


def test_ended_build_shows_its_parts_and_takes_none(
    bench_client: Client, build: Build, speaker: Part, owner: User, now: datetime, here: str
) -> None:
    fit_part(plan(build, speaker, owner, now), token=uuid4(), by=owner, now=now)
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None)
    page = bench_client.get(here)
    assert "speaker, 28 mm" in said(page)
    assert 'action="/build' not in page.content.decode()
    answer = post(bench_client, f"{here}scan/", label=speaker.label)
    assert "This build has ended" in said(answer)


def test_serial_number_finds_the_build(
    bench_client: Client, build: Build, board: Part, owner: User, now: datetime
) -> None:
    part = plan(build, board, owner, now)
    fit_part(part, serial="SB-0042", token=uuid4(), by=owner, now=now)
    assert str(build) in said(bench_client.get("/find/", {"q": "sb-0042"}, follow=True))


def test_sheet_shows_the_parts_in_short(
    bench_client: Client, build: Build, speaker: Part, board: Part, owner: User, now: datetime
) -> None:
    plan(build, speaker, owner, now)
    fit_part(plan(build, board, owner, now), serial="7", token=uuid4(), by=owner, now=now)
    page = said(bench_client.get(f"/build/{build.number}/"))
    assert "1 of 2 fitted" in page
    assert "1 part to fit: speaker, 28 mm" in page
    assert "Fit 1 part" in page


def test_short_part_leads_to_the_order_that_brings_it(
    bench_client: Client, owner_client: Client, build: Build, board: Part, owner: User,
    now: datetime, here: str,
) -> None:  # fmt: skip
    part = plan(build, board, owner, now, 2)
    assert "Order it" in said(owner_client.get(here))
    assert "Order it" not in said(bench_client.get(here))  # ordering is the owner's
    supplier = Supplier.objects.create(name="Fenland Components")
    purchase = supplier.purchases.create(
        number="PO-7", token=uuid4(), made_at=now, made_by=owner, state="ordered", ordered_at=now,
        expected_on=now.date(),
    )  # fmt: skip
    line = purchase.lines.create(part=board, quantity=5)
    assert "on order PO-7, expected Wed 25 Nov" in said(bench_client.get(here))
    assert "To order PO-7" in said(bench_client.get(f"{here}{part.pk}/"))
    post(bench_client, f"{here}{part.pk}/wait/")
    assert build.holds.get().line == line


@pytest.mark.parametrize(("stage", "offers"), [(State.TEARDOWN, False), (State.INSTALL, True)])
def test_fitting_is_offered_from_install_on(
    stage: str, offers: bool, bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage)
    part = plan(build, make_part(owner, now, 1), owner, now)
    reserve_part(part, token=uuid4(), by=owner, now=now)
    for name, keys in (("fitting_parts", []), ("fitting_part", [part.pk])):
        page = bench_client.get(reverse(name, args=[build.number, *keys])).content.decode()
        assert (reverse("fitting_part_fit", args=[build.number, part.pk]) in page) is offers
