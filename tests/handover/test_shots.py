"""The shot list: what this build has and no more; ticked, taken back, by two tablets."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.handover.actions.shots import tick_shot, untick_shot
from builds.handover.booklet_words import care
from builds.handover.models import Gesture, ShotTick
from builds.handover.queries.shots import shots_of
from builds.handover.refusals import Refused
from builds.hilts.actions import add_step
from builds.models import Build
from builds.progress.states import Kind, State
from shop.history.queries import entries_about
from shop.models import User
from tests.makers import describe_slot, fit_a_part, make_build, take_apart_and_carry

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEST)


def codes(build: Build) -> list[str]:
    return [shot.code.partition(":")[0] for shot in shots_of(build).all]


def test_bare_hilt_has_the_shots_of_every_film(build: Build) -> None:
    assert codes(build) == ["opening", "never", "closing"]


def test_list_follows_what_the_build_has(build: Build, owner: User, now: datetime) -> None:
    take_apart_and_carry(build, owner, now)
    Gesture.objects.create(
        build=build, being="off", wanted="Switch on", do="press long", out="again"
    )
    found = codes(Build.objects.get(pk=build.pk))
    assert found[:4] == ["opening", "blade-in", "gesture", "slot"]
    assert {"blade-out", "cell", "charging", "never"} < set(found)
    assert found[-1] == "closing"


def test_slot_is_named_with_its_colour(build: Build, owner: User, now: datetime) -> None:
    describe_slot(build, owner, now)
    assert "Slot 1: Ember, orange" in [shot.title for shot in shots_of(build).all]


def test_steps_are_told_in_their_order_and_back(build: Build, owner: User, now: datetime) -> None:
    assert build.hilt
    for words, heat in (("pommel", False), ("retention screw", False), ("emitter", True)):
        add_step(
            build.hilt, words=words, how="", for_owner=not heat, wants_heat=heat, firsts=[],
            token=uuid4(), by=owner, now=now,
        )  # fmt: skip
    titles = [shot.title for shot in shots_of(build).all]
    assert titles[1:4] == ["Step 1a: pommel", "Step 1b: retention screw", "Together again"]
    (alone,) = [shot for shot in shots_of(build).all if shot.code == "leave-alone"]
    assert alone.show == ("emitter",)
    free = next(shot for shot in shots_of(build).all if shot.title == "Step 1a: pommel")
    assert free.say == ("1a and 1b: in any order.",)


def test_what_is_the_shops_is_not_filmed_and_leaves_no_letter(
    build: Build, owner: User, now: datetime
) -> None:
    hilt = build.hilt
    assert hilt
    facts = {"how": "", "wants_heat": False, "by": owner, "now": now}
    pommel = add_step(hilt, words="pommel", for_owner=True, firsts=[], token=uuid4(), **facts)
    for words, ours in (("clip ring", False), ("chassis", True)):
        add_step(hilt, words=words, for_owner=not ours, firsts=[pommel.pk], token=uuid4(), **facts)
    shots = {shot.code: shot for shot in shots_of(build).all}
    titles = [shot.title for shot in shots.values()]
    assert titles[1:4] == ["Step 1: pommel", "Step 2: clip ring", "Together again"]
    assert shots["leave-alone"].show == ("chassis",)


def test_safety_comes_in_the_order_of_the_booklet(build: Build, owner: User, now: datetime) -> None:
    take_apart_and_carry(build, owner, now)
    shots = {shot.code: shot for shot in shots_of(build).all}
    said = "Switch the hilt off first, then take the blade out."
    assert shots["blade-out"].show[0] == said
    assert said in care.before_apart()


def test_state_of_a_gesture_is_said_in_plain_words(build: Build) -> None:
    for being in ("low", "hung"):
        Gesture.objects.create(build=build, being=being, wanted="know it", do="nothing")
    told = [shot.show[0] for shot in shots_of(build).all if shot.code.startswith("gesture:")]
    assert told == ["When its battery is low: nothing", "When it hangs: nothing"]


def test_blade_alone_has_a_list_of_its_own(owner: User, now: datetime) -> None:
    blade = make_build(owner, now, State.TEST, kind=Kind.BLADE)
    assert codes(blade) == ["opening", "blade-lit", "never", "closing"]


def test_cautions_stand_where_the_hand_is(build: Build, owner: User, now: datetime) -> None:
    take_apart_and_carry(build, owner, now)
    said = {shot.code: " ".join(shot.say) for shot in shots_of(build).all}
    assert "Flashing light" in said["opening"]
    assert "swollen" in said["cell"]
    assert "Stay with it" in said["charging"]
    assert "pacemaker" in said["never"]


def test_ticked_and_taken_back_stays_told(build: Build, owner: User, now: datetime) -> None:
    tick, _late = tick_shot(build.pk, "opening", token=uuid4(), by=owner, now=now)
    assert shots_of(build).ticked == 1
    untick_shot(build.pk, tick.pk, by=owner, now=now)
    untick_shot(build.pk, tick.pk, by=owner, now=now)
    assert shots_of(build).ticked == 0
    assert ShotTick.objects.get().taken_back_at == now
    told = [line.text for line in entries_about(build.about)]
    name = build.hilt.name if build.hilt else ""
    assert told[:2] == [f"Not filmed after all: {name}", f"Filmed: {name}"]


def test_double_tap_ticks_once(build: Build, owner: User, now: datetime) -> None:
    token = uuid4()
    for _ in range(2):
        tick_shot(build.pk, "opening", token=token, by=owner, now=now)
    assert ShotTick.objects.count() == 1


def test_two_shots_of_one_page_are_two(build: Build, owner: User, now: datetime) -> None:
    token = uuid4()
    for code in ("opening", "closing"):
        tick_shot(build.pk, code, token=token, by=owner, now=now)
    assert ShotTick.objects.count() == 2


def test_other_tablet_is_told_who_was_first(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    tick_shot(build.pk, "opening", token=uuid4(), by=owner, now=now)
    address = reverse("handover_shot_tick", args=[build.number])
    answer = bench_client.post(address, {"code": "opening", "token": str(uuid4())}, follow=True)
    assert "Oda ticked it first." in answer.content.decode()
    assert ShotTick.objects.count() == 1


def test_shot_that_is_gone_is_refused_and_its_tick_counted(
    build: Build, owner: User, now: datetime
) -> None:
    describe_slot(build, owner, now)
    slot = build.slots.get()
    tick_shot(build.pk, f"slot:{slot.pk}", token=uuid4(), by=owner, now=now)
    build.slots.update(ended_at=now)
    assert shots_of(build).gone == 1
    with pytest.raises(Refused, match="not on the list any more"):
        tick_shot(build.pk, "slot:4711", token=uuid4(), by=owner, now=now)


def test_page_shows_and_ticks_without_script(build: Build, bench_client: Client) -> None:
    address = reverse("handover_shots", args=[build.number])
    page = bench_client.get(address)
    assert page.status_code == 200
    tick = reverse("handover_shot_tick", args=[build.number])
    said = {"code": "opening", "token": str(page.context["token"])}
    assert bench_client.post(tick, said).status_code == 303
    assert "filmed: Jory" in bench_client.get(address).content.decode()
    made = ShotTick.objects.get()
    bench_client.post(reverse("handover_shot_untick", args=[build.number, made.pk]))
    assert "filmed: Jory" not in bench_client.get(address).content.decode()


def test_parts_of_an_accent_and_a_switch(build: Build, owner: User, now: datetime) -> None:
    part = fit_a_part(build, owner, now)
    part.kind = "accent"
    part.save()
    assert f"accent:{part.pk}" in [shot.code for shot in shots_of(build).all]
