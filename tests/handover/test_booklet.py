"""The booklet of a build: what it knows; made, published, taken back, old; who is refused."""

from datetime import datetime, timedelta
from io import BytesIO
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from builds.gates.conditions import MET, UNMET, conditions
from builds.handover.actions.booklets import make_booklet, publish_booklet, take_booklet_back
from builds.handover.models import Booklet
from builds.handover.queries.booklet import contents
from builds.handover.queries.booklet_page import booklet_part
from builds.handover.queries.booklets import published_booklets
from builds.handover.refusals import Refused
from builds.models import Blade, Build
from builds.progress import actions as progress
from builds.progress.actions import tie_blade
from builds.progress.states import Kind, State
from builds.proving import actions as proving
from builds.proving.values import typed
from shop.files.queries import original_name
from shop.history.models import Entry
from shop.house.models import House
from shop.house.queries import house
from shop.models import User
from tests.conftest import NOW
from tests.handover.lines import ON, add
from tests.makers import carry, fit_all, make_build, prove, take_apart


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def rich(owner: User, now: datetime) -> Build:
    """A build of which everything is known."""
    made = make_build(owner, now, State.TEARDOWN)
    take_apart(made, owner, now)
    carry(made, owner, now)
    Build.objects.filter(pk=made.pk).update(state=State.INSTALL)
    fit_all(made, owner, now)
    for part in made.parts.select_related("part"):
        if part.kind == "board" and part.part:
            part.part.care = "do not press on its card"
            part.part.save()
    add(made, owner, now)
    Build.objects.filter(pk=made.pk).update(state=State.TEST)
    made.refresh_from_db()
    prove(made, owner, now)
    return made


@pytest.fixture
def shop(now: datetime) -> House:
    found = house()
    found.public_url, found.email = "https://shop.example", "bench@shop.example"
    found.warranty_words = "What fails by itself is put right."
    found.save()
    return found


def made(build: Build, by: User, now: datetime) -> Booklet:
    make_booklet(build, house(), token=uuid4(), by=by, now=now)
    return booklet_part(build, house(), NOW).made[0]


def here(build: Build) -> str:
    return reverse("handover_build", args=[build.number])


def page(client: Client, build: Build) -> str:
    return " ".join(client.get(here(build)).content.decode().split())


def verbs(build: Build) -> list[str]:
    return list(Entry.objects.filter(about=build.about).values_list("verb", flat=True))


def test_it_says_what_the_sheet_knows(rich: Build, shop: House) -> None:
    said = contents(rich, shop, NOW)
    assert rich.hilt
    assert (said.hilt, said.called) == (rich.hilt.name, rich.item.order.customer.called)
    assert said.beings[0].rows[0].wanted == ON["wanted"].capitalize()
    assert [(slot.name, slot.word) for slot in said.slots] == [("Ember", "orange")]
    assert said.apart
    assert said.leave[0][1] == "do not press on its card"
    assert any(row.serial == "S-1" for row in said.inside)
    assert {label for label, _text in said.battery} >= {"Battery", "Charger", "Capacity"}
    assert any(row.what == "Current drawn asleep" for row in said.measured)
    assert said.tried
    assert (said.warranty_days, said.mail) == (180, "bench@shop.example")


def test_limit_is_the_one_that_it_passed_by(rich: Build, shop: House, owner: User) -> None:
    line = rich.runs.get().lines.get(code="idle-drain")
    newest = line.readings.get()
    assert line.high_told
    read = typed(f"{line.high_told - 0.01:.2f}", "mA")
    entry = proving.Entry(line.pk, read, seen=newest.pk)
    facts = {"token": uuid4(), "by": owner, "now": newest.at}
    proving.keep_readings(rich.pk, line.run_id, [entry], **facts)
    known = contents(rich, shop, newest.at).measured
    (row,) = [each for each in known if each.what == "Current drawn asleep"]
    assert row.limit == f"at most {line.high_told:.4g}\u00a0mA"


def test_no_surname_street_or_money_stands_in_it(rich: Build, shop: House) -> None:
    customer = rich.item.order.customer
    customer.address, customer.phone = "14 Weir Street\nNorthwick", "01632 960999"
    customer.save()
    said = str(contents(rich, shop, NOW).plain())
    for word in ("Aldous", "Weir Street", "01632 960999", customer.email, "£", "GBP"):
        assert word not in said


def test_failed_readings_and_old_runs_are_no_news(rich: Build, shop: House, owner: User) -> None:
    later = rich.state_since + timedelta(days=9)
    rich.moves.create(
        token=uuid4(), from_state=State.INSTALL, to_state=State.TEST, at=later, by=owner,
        was_since=later,
    )  # fmt: skip
    assert contents(rich, shop, NOW).measured == ()


def test_both_sizes_are_made_with_one_tap_and_twice_is_once(
    rich: Build, owner_client: Client
) -> None:
    data = {"token": uuid4()}
    for _tap in range(2):
        answer = owner_client.post(reverse("handover_booklet_make", args=[rich.number]), data)
        assert answer.status_code == 303
    rows = Booklet.objects.filter(build=rich)
    assert sorted(row.type_size for row in rows) == ["large", "usual"]
    assert verbs(rich).count("booklet_made") == 1
    assert "not published" in page(owner_client, rich)


def test_bench_hand_opens_it_as_pdf_that_nobody_keeps(
    rich: Build, shop: House, owner: User, bench_client: Client, now: datetime
) -> None:
    for each in (made(rich, owner, now), booklet_part(rich, shop, NOW).made[1]):
        answer = bench_client.get(reverse("handover_booklet", args=[rich.number, each.pk]))
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"].startswith("inline; ")
        assert answer["Cache-Control"] == "private, no-store"
        text = " ".join(p.extract_text() for p in PdfReader(BytesIO(answer.content)).pages)
        assert "do not press on its card" in " ".join(text.split())
        assert "https://shop.example/your/hilt/" in "".join(text.replace("\u200b", "").split())


def test_a_fact_that_changes_makes_it_old_until_it_is_made_anew(
    rich: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    before = made(rich, owner, now)
    assert "changed since it was made" not in page(owner_client, rich)
    add(rich, owner, now, wanted="volume up")
    assert "changed since it was made" in page(owner_client, rich)
    with pytest.raises(Refused, match="Make it anew first"):
        publish_booklet(rich.pk, house(), seen=before.pk, by=owner, now=now)
    made(rich, owner, now + timedelta(minutes=1))
    assert "changed since it was made" not in page(owner_client, rich)


def test_publishing_shows_both_sizes_and_twice_is_once(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    newest = made(build, owner, now)
    for _tap in range(2):
        bench_client.post(
            reverse("handover_booklet_publish", args=[build.number]), {"seen": newest.pk}
        )
    assert set(published_booklets([build.pk])[build.pk]) == {"usual", "large"}
    assert verbs(build).count("booklet_published") == 1


def test_the_one_before_stays_out_until_the_new_one_is_published(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    first = made(build, owner, now)
    publish_booklet(build.pk, house(), seen=first.pk, by=owner, now=now)
    add(build, owner, now)
    second = made(build, owner, now + timedelta(minutes=1))
    assert "Published is the one before" in page(owner_client, build)
    assert published_booklets([build.pk])[build.pk]["usual"] == first
    publish_booklet(build.pk, house(), seen=second.pk, by=owner, now=now)
    assert published_booklets([build.pk])[build.pk]["usual"] == second
    assert Booklet.objects.filter(build=build, published_at__isnull=False).count() == 2


def test_the_other_tablet_that_made_it_anew_is_named(
    build: Build, owner: User, bench_hand: User, owner_client: Client, now: datetime
) -> None:
    seen = made(build, owner, now)
    made(build, bench_hand, now + timedelta(minutes=1))
    answer = owner_client.post(
        reverse("handover_booklet_publish", args=[build.number]), {"seen": seen.pk}, follow=True
    )
    assert f"{bench_hand.name} made it anew meanwhile" in answer.content.decode()
    assert not published_booklets([build.pk])


def test_taken_back_nobody_sees_it_and_twice_is_once(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    newest = made(build, owner, now)
    publish_booklet(build.pk, house(), seen=newest.pk, by=owner, now=now)
    for _tap in range(2):
        owner_client.post(reverse("handover_booklet_take_back", args=[build.number]))
    assert not published_booklets([build.pk])
    assert verbs(build).count("booklet_taken_back") == 1
    take_booklet_back(build.pk, by=owner, now=now)


def test_a_blade_alone_has_none(owner: User, owner_client: Client, now: datetime) -> None:
    blade = make_build(owner, now, State.INSTALL, kind=Kind.BLADE)
    assert "A blade alone has no booklet" in page(owner_client, blade)
    with pytest.raises(Refused, match="blade alone"):
        make_booklet(blade, house(), token=uuid4(), by=owner, now=now)


@pytest.mark.parametrize("state", [State.RETURNED, State.WITHDRAWN, State.ABANDONED])
def test_what_ended_unfinished_gets_none(state: str, owner: User, now: datetime) -> None:
    ended = make_build(owner, now, State.INTAKE)
    Build.objects.filter(pk=ended.pk).update(state=state, tray=None)
    ended.refresh_from_db()
    with pytest.raises(Refused, match="ended unfinished"):
        make_booklet(ended, house(), token=uuid4(), by=owner, now=now)


def test_what_is_missing_is_listed_with_the_way_there(
    build: Build, owner_client: Client, bench_client: Client
) -> None:
    House.objects.update(public_url="")
    shown = page(owner_client, build)
    for words, way in (
        ("No gesture is told", "#gestures"),
        ("No slot of the card is told", reverse("sounds_slots", args=[build.number])),
        ("No part is fitted yet", reverse("fitting_parts", args=[build.number])),
        ("No code to scan: the shop has no public", reverse("desk_addresses")),
        ("The warranty has no words of its own", reverse("desk_warranty")),
    ):
        assert words in shown
        assert f'href="{way}"' in shown
    assert f'href="{reverse("desk_settings")}"' not in page(bench_client, build).split("<main")[1]


@pytest.mark.parametrize("public", ["http://127.0.0.1:8000", "http://localhost:8000"])
def test_code_that_leads_to_this_machine_alone_is_said_before_publishing(
    build: Build, owner_client: Client, public: str
) -> None:
    said = "The code to scan leads nowhere"
    House.objects.update(public_url="https://bench.example")
    assert said not in page(owner_client, build)
    House.objects.update(public_url=public)
    shown = page(owner_client, build)
    assert said in shown
    assert f'href="{reverse("desk_addresses")}">Settings, Addresses' in shown


def test_stranger_and_a_build_of_another_number_get_nothing(
    build: Build, owner: User, client: Client, owner_client: Client, now: datetime
) -> None:
    newest = made(build, owner, now)
    address = reverse("handover_booklet", args=[build.number, newest.pk])
    assert client.get(address).status_code == 302
    other = make_build(owner, now, State.INSTALL)
    assert (
        owner_client.get(reverse("handover_booklet", args=[other.number, newest.pk])).status_code
        == 404
    )


def test_a_file_that_is_gone_is_said(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    newest = made(build, owner, now)
    default_storage.delete(original_name(newest.blob.sha256))
    address = reverse("handover_booklet", args=[build.number, newest.pk])
    answer = owner_client.get(address, follow=True)
    assert "The file of this booklet is gone" in answer.content.decode()


def test_an_old_page_is_sent_back_with_a_sentence(build: Build, owner_client: Client) -> None:
    for deed in ("make", "publish"):
        answer = owner_client.post(
            reverse(f"handover_booklet_{deed}", args=[build.number]), follow=True
        )
        assert "The page was old" in answer.content.decode()
    assert not Booklet.objects.exists()


def test_names_that_its_type_lacks_are_said_before_it_is_made(
    build: Build, owner_client: Client
) -> None:
    customer = build.item.order.customer
    customer.called = "蓮"
    customer.save()
    assert "Signs that the type of booklets lacks: 蓮" in page(owner_client, build)


def came_apart_again(build: Build, by: User, now: datetime) -> Build:
    """It came back to be taken apart, and went on to its test again."""
    progress.move(
        build.pk, token=uuid4(), expected=State.TEST, to=State.TEARDOWN, by=by, now=now,
        reason="short", caused_in=State.INSTALL,
    )  # fmt: skip
    Build.objects.filter(pk=build.pk).update(state=State.TEST)
    return Build.objects.get(pk=build.pk)


def test_what_came_apart_again_is_listed_as_not_seen_and_not_tried(
    rich: Build, shop: House, owner: User, now: datetime
) -> None:
    lacks = [each.words for each in booklet_part(rich, shop, NOW).lacks]
    assert not any(words.startswith("Not ") for words in lacks)
    again = came_apart_again(rich, owner, now + timedelta(hours=2))
    lacks = [each.words for each in booklet_part(again, shop, NOW).lacks]
    assert "Not seen on the unit yet: Ember" in lacks
    assert any(words.startswith("Not tried on this hilt yet") for words in lacks)


def test_booklet_of_before_a_rework_does_not_open_the_gate(
    rich: Build, shop: House, owner: User, now: datetime
) -> None:
    newest = made(rich, owner, now)
    publish_booklet(rich.pk, shop, seen=newest.pk, by=owner, now=now)
    later = now + timedelta(hours=2)
    came_apart_again(rich, owner, later)
    Build.objects.filter(pk=rich.pk).update(state=State.DISPATCH)
    asked = {each.code: each for each in conditions([rich.pk])[rich.pk]}["handed"]
    assert asked.text == "Its booklet is of before it came back: make it anew and publish it"
    assert asked.state == UNMET
    again = made(Build.objects.get(pk=rich.pk), owner, later)
    publish_booklet(rich.pk, shop, seen=again.pk, by=owner, now=later)
    assert {each.code: each.state for each in conditions([rich.pk])[rich.pk]}["handed"] == MET


def test_blade_that_goes_home_is_told_of_and_one_that_is_gone_is_not(
    rich: Build, shop: House, owner: User, now: datetime
) -> None:
    customer, hilt = rich.item.order.customer, rich.hilt
    told = {"customer": customer, "since": now, "length_mm": 860.0}
    own = Blade.objects.create(name="Reed", pixels=246, **told)
    Blade.objects.create(
        name="Sold one", tried_in=hilt, ended_at=now, ended_because="sold on", **told
    )
    tie_blade(rich.pk, own, seen=None, by=owner, now=now)
    rich.refresh_from_db()
    said = dict(contents(rich, shop, NOW).blade)
    assert "Sold one" not in said
    assert "pixels" not in said["Reed"]
    assert not any("counted" in label for label in said)
    own.counted_at, own.counted_by = now, owner
    own.save()
    rich.refresh_from_db()
    assert "246 pixels" in dict(contents(rich, shop, NOW).blade)["Reed"]
