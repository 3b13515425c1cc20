"""The build sheet: each part saves by itself; what is refused comes back with what was typed."""

import re
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates.models import Pass
from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.models import Build, Place
from builds.progress.models import Hold
from builds.progress.states import State
from builds.queue.models import Promise
from shop.models import User
from shop.orders.models import Answer
from tests.bench import stands
from tests.bench.pages import hidden, part, tap, words
from tests.makers import answer, make_arrival, make_blob, make_build, make_tray, put_on_hold

Fields = dict[str, Any]
ANSWER = {"kind": "heat", "is_yes": "yes", "text": "Go on.", "how": "chat"}
HOLD = {"reason": "answer", "turn": "customer", "words": "May we?", "chase_on": "2026-12-01"}
CELL = {"result": "good", "volts": "3.71", "note": ""}
NOTE = {"section": "grip", "grade": "worn", "words": "thin at the edge"}
# The deed of a part, the part, what is sent, and what then stands there.
SAVES: list[tuple[str, str, Fields, str]] = [
    ("cell", "cell", CELL, "cell out, wrap whole · 3.71"),
    ("condition", "condition", NOTE, "grip worn : thin at the edge"),
    ("answer", "answers", ANSWER, "Yes to consent to heat: “Go on.”"),
    ("hold", "holds", HOLD, "an answer : May we?"),
    ("promise", "promise", {"day": "2026-12-07", "reason": ""}, "Monday 7 December"),
]
# The deed, the part, what is sent, the sentence, and what was typed and must come back.
REFUSALS: list[tuple[str, str, Fields, str, str]] = [
    ("cell", "cell", {"result": "", "volts": "99", "note": "loose"}, "This field is req", "loose"),
    ("condition", "condition", NOTE | {"grade": ""}, "This field is required.", "thin at the edge"),
    ("answer", "answers", ANSWER | {"is_yes": ""}, "This field is required.", "Go on."),
    ("hold", "holds", HOLD | {"turn": ""}, "This field is required.", "May we?"),
    ("promise", "promise", {"day": "2026-11-28"}, "Nothing leaves that day.", "2026-11-28"),
    ("promise", "promise", {"day": "2026-11-20", "reason": "ill"}, "That day is past.", "ill"),
]


@pytest.fixture
def sheet(build: Build) -> str:
    """Where the build's sheet is."""
    return f"/build/{build.number}/"


@pytest.mark.parametrize(("deed", "name", "fields", "shown"), SAVES)
@pytest.mark.parametrize("by_htmx", [False, True], ids=["page", "part"])
def test_part_saves_by_itself(
    bench_client: Client, sheet: str, deed: str, name: str, fields: Fields, shown: str,
    by_htmx: bool,
) -> None:  # fmt: skip
    reply = tap(bench_client, f"{sheet}{deed}/", name if by_htmx else "", **fields)
    assert reply.status_code == 200
    assert shown in words(part(reply, name)).replace("\u202f", " ")
    assert reply.content.startswith(b"<section") == by_htmx


@pytest.mark.parametrize(("deed", "fields"), [(deed, fields) for deed, _, fields, _ in SAVES])
def test_second_tap_keeps_nothing_twice(
    bench_client: Client, sheet: str, build: Build, deed: str, fields: Fields
) -> None:
    for _ in range(2):
        tap(bench_client, f"{sheet}{deed}/", **fields)
    kept = [build.cell_checks, build.condition_notes, build.holds, build.promises]
    assert sum(rows.count() for rows in kept) + Answer.objects.count() == 1


@pytest.mark.parametrize(("deed", "name", "fields", "why", "typed"), REFUSALS)
@pytest.mark.parametrize("by_htmx", [False, True], ids=["page", "part"])
def test_refused_form_comes_back_with_its_sentence(
    bench_client: Client, sheet: str, deed: str, name: str, fields: Fields, why: str, typed: str,
    by_htmx: bool,
) -> None:  # fmt: skip
    reply = tap(bench_client, f"{sheet}{deed}/", name if by_htmx else "", **fields)
    assert reply.status_code == 422
    shown = part(reply, name)
    assert why in words(shown)
    assert typed in shown


@pytest.mark.parametrize(("deed", "fields"), [(deed, fields) for deed, _, fields, _, _ in REFUSALS])
def test_refused_form_keeps_nothing(
    bench_client: Client, sheet: str, build: Build, deed: str, fields: Fields
) -> None:
    tap(bench_client, f"{sheet}{deed}/", **fields)
    kept = [build.cell_checks, build.condition_notes, build.holds, build.promises]
    assert [rows.count() for rows in kept] == [0, 0, 0, 0]
    assert not Answer.objects.exists()


def test_gate_is_carried_along_with_a_part(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build, _ = stands.arrived(owner, now)
    reply = tap(bench_client, f"/build/{build.number}/condition/", "condition", **NOTE)
    gate = part(reply, "gate")
    assert 'hx-swap-oob="true"' in gate
    assert "Condition noted met" in words(gate)


def test_said_is_carried_along_with_a_part(bench_client: Client, sheet: str) -> None:
    reply = tap(bench_client, f"{sheet}condition/", "condition", **NOTE)
    assert "The note is kept." in words(reply)


def test_tray_and_place_are_kept(bench_client: Client, sheet: str, build: Build) -> None:
    tray, shelf = make_tray(), Place.objects.create(name="Shelf C")
    reply = tap(bench_client, f"{sheet}put/", "stands", tray=tray.pk, place=shelf.pk)
    assert f"Tray {tray} · Shelf C" in words(part(reply, "stands"))


def test_tray_of_another_build_is_not_offered(
    bench_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.TEST)
    reply = tap(bench_client, f"{sheet}put/", tray=other.tray_id, place="")
    assert reply.status_code == 422
    assert "Select a valid choice." in words(part(reply, "stands"))


def test_build_past_intake_cannot_stand_nowhere(
    bench_client: Client, sheet: str, build: Build
) -> None:
    reply = tap(bench_client, f"{sheet}put/", tray="", place="")
    assert reply.status_code == 422
    assert "a hilt always stands somewhere" in words(part(reply, "stands"))


def test_hold_is_ended_by_a_tap(
    bench_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    held = put_on_hold(build, owner, now)
    assert "On hold: which colour" in words(part(bench_client.get(sheet), "gate"))
    reply = tap(bench_client, f"{sheet}hold/{held.pk}/end/", "holds")
    assert "over Wed 25 Nov" in words(part(reply, "holds"))
    assert Hold.objects.get().ended_at == now
    assert "On hold" not in words(part(reply, "gate"))


def test_hold_of_another_build_is_not_found(
    bench_client: Client, sheet: str, owner: User, now: datetime
) -> None:
    held = put_on_hold(make_build(owner, now), owner, now)
    assert bench_client.post(f"{sheet}hold/{held.pk}/end/").status_code == 404


def test_same_day_twice_is_one_promise(bench_client: Client, sheet: str) -> None:
    for _ in range(2):
        tap(bench_client, f"{sheet}promise/", day="2026-12-07", reason="")
    assert Promise.objects.count() == 1


def test_owner_passes_a_condition_with_a_reason(
    owner_client: Client, owner: User, now: datetime
) -> None:
    build, _ = stands.arrived(owner, now, State.BOOKED)
    fields = {"code": "agreed", "reason": "He rang."}
    reply = tap(owner_client, f"/build/{build.number}/pass/", "gate", **fields)
    assert "passed by Oda: He rang." in words(part(reply, "gate"))


def test_condition_that_nobody_can_pass_stays_shut(
    owner_client: Client, owner: User, now: datetime
) -> None:
    build, _ = stands.arrived(owner, now)
    fields = {"code": "cell", "reason": "It looks fine."}
    reply = tap(owner_client, f"/build/{build.number}/pass/", "gate", **fields)
    assert reply.status_code == 422
    assert "Nobody can pass this one" in words(part(reply, "gate"))
    assert not Pass.objects.exists()


def test_reason_for_passing_is_asked_beside_its_condition(
    owner_client: Client, owner: User, now: datetime
) -> None:
    build, _ = stands.arrived(owner, now, State.BOOKED)
    reply = tap(owner_client, f"/build/{build.number}/pass/", code="agreed", reason="")
    assert reply.status_code == 422
    assert 'id="pass-agreed-wrong"' in part(reply, "gate")


def test_bench_hand_may_not_pass(bench_client: Client, owner: User, now: datetime) -> None:
    build, _ = stands.arrived(owner, now, State.BOOKED)
    fields = {"code": "agreed", "reason": "He rang."}
    assert tap(bench_client, f"/build/{build.number}/pass/", **fields).status_code == 403
    assert "Pass it with a reason" not in words(bench_client.get(f"/build/{build.number}/"))


def test_bench_hand_reads_no_price(
    bench_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    answer(build, "agreed", owner, now)
    shown = words(part(bench_client.get(sheet), "answers"))
    assert "Yes to the job and its price" in shown
    assert "Do it." not in shown


def test_owner_reads_what_was_agreed(
    owner_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    answer(build, "agreed", owner, now)
    assert "“Do it.”" in words(part(owner_client.get(sheet), "answers"))


def test_bench_hand_reads_the_other_answers(
    bench_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    answer(build, "heat", owner, now)
    assert "“Do it.”" in words(part(bench_client.get(sheet), "answers"))


def test_rework_goes_back_with_its_cause(bench_client: Client, sheet: str, build: Build) -> None:
    reply = bench_client.get(sheet)
    fields = {
        "back-token": hidden(part(reply, "collect"), "back-token"), "back-expected": "install",
        "back-to": "teardown", "back-caused_in": "teardown", "back-reason": "thread torn",
    }  # fmt: skip
    reply = tap(bench_client, f"{sheet}back/", **fields)
    assert "It went back; the cause is kept." in words(reply)
    assert "caused in teardown, thread torn" in words(part(reply, "history"))


def test_rework_without_a_cause_is_asked_for_it(
    bench_client: Client, sheet: str, build: Build
) -> None:
    fields = {"back-token": uuid4(), "back-expected": "install", "back-to": "teardown"}
    reply = tap(bench_client, f"{sheet}back/", **fields)
    assert reply.status_code == 422
    assert "what went wrong : This field is required." in words(part(reply, "collect"))


def test_build_to_be_collected_leads_to_the_counter(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.to_pack(owner, now, "collection")
    shown = part(bench_client.get(f"/build/{build.number}/"), "collect")
    assert f'href="/build/{build.number}/collect/"' in shown


def test_ending_unfinished_wants_a_reason(bench_client: Client, sheet: str, build: Build) -> None:
    fields = {"end-token": uuid4(), "end-expected": "install", "end-ending": "withdrawn"}
    reply = tap(bench_client, f"{sheet}end/", **fields)
    assert reply.status_code == 422
    assert "Say in a few words why it ends unfinished." in words(part(reply, "collect"))


def test_ended_build_offers_no_deeds(bench_client: Client, owner: User, now: datetime) -> None:
    build = stands.to_pack(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN, tray=None)
    page = bench_client.get(f"/build/{build.number}/").content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    deeds = re.findall(r'<form[^>]* action="([^"]*)"', main)
    # What is shown of a photo may still be corrected.
    assert {deed.split("/")[1] for deed in deeds} == {"photo"}


DEEDS: list[tuple[str, Fields]] = [("hold", HOLD), ("promise", {"day": "2026-12-07"})]


@pytest.mark.parametrize(("deed", "fields"), DEEDS)
def test_deed_on_an_ended_build_is_refused(
    bench_client: Client, sheet: str, build: Build, deed: str, fields: Fields
) -> None:
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN, tray=None)
    reply = tap(bench_client, f"{sheet}{deed}/", **fields)
    assert "This build has ended" in words(reply)


@pytest.fixture
def charger(owner: User, now: datetime) -> Belonging:
    """A charger that came with a hilt, which is ready to go back."""
    build, arrival = stands.arrived(owner, now)
    intake.add_belongings(arrival, [("charger", 1)], owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.DISPATCH, tray=make_tray())
    return Belonging.objects.get()


def test_belonging_is_ticked_back_into_the_box(bench_client: Client, charger: Belonging) -> None:
    url = f"/build/{charger.build.number}/belonging/{charger.pk}/"  # type: ignore[union-attr]
    reply = tap(bench_client, url, "belongings")
    assert "back in the box" in words(part(reply, "belongings"))
    assert "Belongings accounted for" in words(part(reply, "gate"))


def test_belonging_stays_for_a_reason(bench_client: Client, charger: Belonging) -> None:
    url = f"/build/{charger.build.number}/belonging/{charger.pk}/"  # type: ignore[union-attr]
    reply = tap(bench_client, url, "belongings", kept_because="burnt out, told by chat")
    assert "stays: burnt out, told by chat" in words(part(reply, "belongings"))


@pytest.mark.parametrize("because", ["", "x" * 121])
def test_belonging_that_stays_without_a_good_reason_is_not_ticked_off(
    bench_client: Client, charger: Belonging, because: str
) -> None:
    url = f"/build/{charger.build.number}/belonging/{charger.pk}/"  # type: ignore[union-attr]
    reply = tap(bench_client, url, "belongings", kept_because=because)
    assert reply.status_code == 422
    assert f'value="{because}"' in part(reply, "belongings")
    charger.refresh_from_db()
    assert (charger.returned_at, charger.kept_because) == (None, "")


def test_what_nobody_claimed_stands_on_both_sheets(
    bench_client: Client, owner: User, now: datetime
) -> None:
    builds, arrival = [make_build(owner, now), make_build(owner, now)], make_arrival(owner, now)
    for build in builds:
        intake.match(arrival, build, owner, now)
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    for build in builds:
        shown = words(part(bench_client.get(f"/build/{build.number}/"), "belongings"))
        assert "stand Say whose it is" in shown


def test_parcel_is_closed_on_the_dispatch_day(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.to_pack(owner, now)
    gate = part(bench_client.get(f"/build/{build.number}/"), "gate")
    assert '<a href="/dispatch/">Close the parcel</a>' in gate


def test_every_condition_leads_to_a_part_that_is_there(
    bench_client: Client, owner: User, now: datetime
) -> None:
    for build in (stands.arrived(owner, now)[0], make_build(owner, now)):
        number = build.number
        page = bench_client.get(f"/build/{number}/").content.decode()
        links = {link.split('"')[0] for link in page.split(f'href="/build/{number}/#')[1:]}
        assert links
        assert all(f'id="{link}"' in page for link in links), links


def test_history_gathers_what_was_done_in_a_row(
    bench_client: Client, sheet: str, build: Build, owner: User, now: datetime
) -> None:
    for _ in range(3):
        intake.add_photo(make_blob(now), build=build, by=owner, now=now)
    shown = words(part(bench_client.get(sheet), "history"))
    assert "Photo added × 3 Wed 25 Nov 10:40, Oda" in shown
    assert shown.count("Photo added") == 1


def test_build_that_is_not_there_is_not_found(bench_client: Client) -> None:
    assert bench_client.get("/build/999/").status_code == 404


def test_stranger_is_sent_to_sign_in(stranger: Client, sheet: str) -> None:
    assert stranger.get(sheet).url.startswith("/sign-in/")


def test_form_for_an_answer_stands_on_the_question_that_its_link_names_or_on_none(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    sheet = bench_client.get(f"/build/{build.number}/")
    assert f'href="/build/{build.number}/?kind=reconfirmed#answers"' in sheet.content.decode()
    assert '<option value="" selected>' in part(sheet, "answers")
    page = bench_client.get(f"/build/{build.number}/?kind=heat").content.decode()
    assert '<option value="heat" selected>' in page


def test_tick_of_a_belonging_is_taken_back_until_it_has_left(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    arrival = make_arrival(owner, now)
    thing = Belonging.objects.create(arrival=arrival, build=build, what="key", returned_at=now)
    deed = f"/build/{build.number}/belonging/{thing.pk}/"
    tap(bench_client, deed, not_yet="yes")
    thing.refresh_from_db()
    assert thing.returned_at is None
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None)
    assert "It has left" in words(tap(bench_client, deed))
