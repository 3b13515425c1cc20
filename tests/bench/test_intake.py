"""Intake: a parcel logged, tied, corrected; what was in it; what comes next."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.intake.models import Arrival, Belonging, CellCheck, View
from builds.models import Build
from builds.progress.states import State
from shop.models import Message, User
from shop.post.actions import queue_message
from shop.post.models import State as Post
from tests.bench import stands
from tests.bench.pages import part, tap, words
from tests.makers import answer, check_cell, make_arrival, make_blob, make_build, make_customer

BOX = {"box": "sound", "carrier": "Fenpost", "tracking": "FP 1", "sender": "Wren", "note": ""}


def log(client: Client, **fields: Any) -> Any:
    return tap(client, "/intake/new/", **({"token": uuid4(), "build": ""} | BOX | fields))


@pytest.fixture
def arrival(owner: User, now: datetime) -> Arrival:
    """A parcel that nobody has placed."""
    stands.views()
    return make_arrival(owner, now)


@pytest.fixture
def parcel(arrival: Arrival) -> str:
    """Where it stands."""
    return f"/intake/{arrival.pk}/"


def test_parcel_is_logged_without_a_build(bench_client: Client) -> None:
    reply = log(bench_client)
    assert "Logged. Say whose it is when you know." in words(reply)
    assert Arrival.objects.get().tracking == "FP 1"


def test_logging_leads_to_the_parcels_own_page(bench_client: Client) -> None:
    reply = log(bench_client)
    assert reply.redirect_chain[-1][0] == f"/intake/{Arrival.objects.get().pk}/"


def test_double_tap_makes_one_arrival(bench_client: Client) -> None:
    token = uuid4()
    assert (
        log(bench_client, token=token).redirect_chain
        == log(bench_client, token=token).redirect_chain
    )
    assert Arrival.objects.count() == 1


def test_parcel_of_an_agreed_build_takes_it_into_intake(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    answer(build, "agreed", owner, now)
    reply = log(bench_client, build=build.pk)
    assert f"{build.hilt} is in intake." in words(reply)
    build.refresh_from_db()
    assert (build.state, build.started_at) == (State.INTAKE, now)


def test_parcel_of_a_build_that_is_not_agreed_says_what_is_missing(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    assert "Missing: Not agreed yet" in words(log(bench_client, build=build.pk))
    build.refresh_from_db()
    assert build.state == State.BOOKED


def test_refused_parcel_comes_back_with_what_was_typed(bench_client: Client) -> None:
    reply = log(bench_client, box="", note="torn along the seam")
    assert reply.status_code == 422
    assert "box and tape : This field is required." in words(reply).replace("Box", "box")
    assert "torn along the seam" in reply.content.decode()
    assert not Arrival.objects.exists()


def test_build_that_was_asked_for_is_chosen_already(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    page = bench_client.get(f"/intake/new/?build={build.number}").content.decode()
    assert f'<option value="{build.pk}" selected>' in page


def test_overview_tells_what_came_and_what_is_expected(
    bench_client: Client, arrival: Arrival, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    said = words(bench_client.get("/intake/"))
    assert "Nobody has placed these" in said
    assert f"{build.hilt}" in said.split("Expected")[1]


def test_parcel_is_tied_later(
    bench_client: Client, parcel: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INTAKE)
    reply = tap(bench_client, f"{parcel}match/", build=build.pk)
    assert f"Tied to {build}." in words(reply)
    assert str(build.hilt) in words(part(reply, "match"))


def test_nobody_chosen_is_said_beside_the_field(bench_client: Client, parcel: str) -> None:
    reply = tap(bench_client, f"{parcel}match/", build="")
    assert reply.status_code == 422
    assert "This field is required." in words(part(reply, "match"))


def test_two_hilts_in_one_box_are_both_tied(
    bench_client: Client, parcel: str, arrival: Arrival, owner: User, now: datetime
) -> None:
    builds = [make_build(owner, now), make_build(owner, now)]
    for build in builds:
        reply = tap(bench_client, f"{parcel}match/", build=build.pk)
    assert all(str(build.hilt) in words(part(reply, "match")) for build in builds)
    assert arrival.matches.filter(ended_at=None).count() == 2


@pytest.fixture
def wrong(arrival: Arrival, owner: User, now: datetime) -> Build:
    """The build that the parcel was tied to by mistake."""
    build = make_build(owner, now, State.INTAKE, customer=make_customer(now, "Abel"))
    intake.match(arrival, build, owner, now)
    return build


def test_wrong_match_is_corrected(
    bench_client: Client, parcel: str, wrong: Build, owner: User, now: datetime
) -> None:
    right = make_build(owner, now, State.INTAKE)
    reply = tap(bench_client, f"{parcel}match/", build=right.pk, wrong=wrong.number)
    shown = words(reply)
    assert f"Tied to {right}." in shown
    assert "was told" not in shown
    assert [right.matches.filter(ended_at=None).count(), wrong.matches.exclude(
        ended_at=None).count()] == [1, 1]  # fmt: skip


@pytest.mark.parametrize("state", [Post.SENT, Post.QUEUED])
def test_correcting_says_that_the_wrong_customer_was_told(
    bench_client: Client, parcel: str, wrong: Build, owner: User, now: datetime, state: str
) -> None:
    message = queue_message(
        key="k", occasion="arrived", about=wrong.about, to="abel@example.com",
        subject="s", body="b", now=now,
    )  # fmt: skip
    Message.objects.filter(pk=message.pk).update(state=state)
    right = make_build(owner, now, State.INTAKE)
    reply = tap(bench_client, f"{parcel}match/", build=right.pk, wrong=wrong.number)
    assert f"Abel was told that it arrived: write to them about {wrong}." in words(reply)


def test_correcting_warns_of_no_news_of_an_earlier_parcel(
    bench_client: Client, parcel: str, wrong: Build, owner: User, now: datetime
) -> None:
    queue_message(
        key="k", occasion="arrived", about=wrong.about, to="abel@example.com",
        subject="s", body="b", now=now - timedelta(days=2),
    )  # fmt: skip
    right = make_build(owner, now, State.INTAKE)
    reply = tap(bench_client, f"{parcel}match/", build=right.pk, wrong=wrong.number)
    assert "was told" not in words(reply)


def test_match_is_taken_back(bench_client: Client, parcel: str, wrong: Build) -> None:
    reply = tap(bench_client, f"{parcel}unmatch/{wrong.number}/")
    assert "It is nobody's again." in words(reply)
    assert "Whose hilt is it?" in words(part(reply, "match"))


def test_match_past_intake_is_not_taken_back(
    bench_client: Client, parcel: str, wrong: Build
) -> None:
    Build.objects.filter(pk=wrong.pk).update(state=State.SENT)
    reply = tap(bench_client, f"{parcel}unmatch/{wrong.number}/")
    assert "is past intake" in words(reply)


def test_belonging_is_noted_by_a_tap(bench_client: Client, parcel: str) -> None:
    for _ in range(2):
        reply = tap(bench_client, f"{parcel}belongings/", "belongings", what="key", quantity="1")
    assert "key × 2" in words(part(reply, "belongings"))


def test_second_tap_counts_no_belonging_up(bench_client: Client, parcel: str) -> None:
    fields = {"what": "key", "quantity": "1", "token": str(uuid4())}
    for _ in range(2):
        bench_client.post(f"{parcel}belongings/", fields)
    bench_client.post(f"{parcel}belongings/", fields | {"what": "blade"})
    assert [(b.what, b.quantity) for b in Belonging.objects.order_by("pk")] == [
        ("key", 1),
        ("blade", 1),
    ]


def test_nothing_else_is_noted_by_a_tap(
    bench_client: Client, parcel: str, arrival: Arrival
) -> None:
    reply = tap(bench_client, f"{parcel}belongings/", "belongings", nothing="yes")
    assert "The hilt alone." in words(part(reply, "belongings"))


def test_nothing_else_beside_something_is_refused_in_words(
    bench_client: Client, parcel: str, arrival: Arrival, owner: User, now: datetime
) -> None:
    intake.add_belongings(arrival, [("key", 1)], owner, now)
    reply = tap(bench_client, f"{parcel}belongings/", nothing="yes")
    assert "Something else is written down already." in words(reply)


def test_refused_belonging_comes_back_with_what_was_typed(
    bench_client: Client, parcel: str
) -> None:
    fields = {"what": "silver sleeve", "quantity": "0"}
    reply = tap(bench_client, f"{parcel}belongings/", "belongings", **fields)
    assert reply.status_code == 422
    shown = part(reply, "belongings")
    assert "silver sleeve" in shown
    assert "greater than or equal to 1" in words(shown)


def test_look_at_the_cell_is_kept_with_the_parcel(bench_client: Client, parcel: str) -> None:
    fields = {"result": "rewrap", "volts": "3.6", "note": "nick"}
    reply = tap(bench_client, f"{parcel}cell/", "cell", **fields)
    assert "cell out, needs a new wrap" in words(part(reply, "cell"))
    assert CellCheck.objects.get().millivolts == 3600


def test_refused_look_at_the_cell_comes_back(bench_client: Client, parcel: str) -> None:
    reply = tap(bench_client, f"{parcel}cell/", "cell", result="", note="nick")
    assert reply.status_code == 422
    assert 'value="nick"' in part(reply, "cell")


@pytest.fixture
def two(arrival: Arrival, owner: User, now: datetime) -> list[Build]:
    """Two builds whose hilts came in the one parcel."""
    builds = [make_build(owner, now, State.INTAKE), make_build(owner, now, State.INTAKE)]
    for build in builds:
        intake.match(arrival, build, owner, now)
    return builds


def test_cell_of_two_hilts_is_looked_at_on_their_sheets(
    bench_client: Client, parcel: str, two: list[Build]
) -> None:
    shown = part(bench_client.get(parcel), "cell")
    assert all(f'href="/build/{build.number}/#cell"' in shown for build in two)
    reply = tap(bench_client, f"{parcel}cell/", "cell", result="good")
    assert reply.status_code == 422
    assert "Say whose cell it is." in words(part(reply, "cell"))


def test_belonging_of_two_hilts_is_claimed_for_one(
    bench_client: Client, parcel: str, arrival: Arrival, two: list[Build], owner: User,
    now: datetime,
) -> None:  # fmt: skip
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    thing = Belonging.objects.get()
    assert "Whose?" in words(part(bench_client.get(parcel), "belongings"))
    reply = tap(bench_client, f"{parcel}belongings/{thing.pk}/", "belongings", build=two[1].number)
    assert f"stand {two[1]}" in words(part(reply, "belongings"))


def test_belonging_is_not_claimed_for_a_build_of_another_parcel(
    bench_client: Client, parcel: str, arrival: Arrival, two: list[Build], owner: User,
    now: datetime,
) -> None:  # fmt: skip
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    thing, other = Belonging.objects.get(), make_build(owner, now)
    reply = tap(bench_client, f"{parcel}belongings/{thing.pk}/", build=other.number)
    assert f"This parcel is not matched to {other}." in words(reply)


def test_camera_leads_while_views_are_missing(bench_client: Client, parcel: str) -> None:
    page = bench_client.get(parcel).content.decode()
    assert "Take: box shut" in words(page)
    filled = [
        deed for deed in page.split("<")[1:] if "button go" in deed or "button keep go" in deed
    ]
    assert [deed.split(">")[1].strip() for deed in filled] == ["Take: box shut", "Keep photos"]


def test_page_leads_on_from_step_to_step(
    bench_client: Client, parcel: str, arrival: Arrival, owner: User, now: datetime
) -> None:
    def lead() -> str:
        return words(part(bench_client.get(parcel), "lead"))

    for view in View.objects.filter(stage=State.INTAKE):
        intake.add_photo(make_blob(now), arrival=arrival, view=view, by=owner, now=now)
    assert lead() == "What else was in the box? Note belongings"
    intake.nothing_else(arrival, owner, now)
    assert lead() == "Is a cell inside? Check the cell"
    intake.check_cell(
        build=None, arrival=arrival, result="none", millivolts=None, note="", by=owner, now=now
    )
    assert lead() == "Whose hilt is it? Say whose it is"
    build = make_build(owner, now, State.INTAKE)
    intake.match(arrival, build, owner, now)
    assert "Condition not noted" in lead()


def test_lead_is_carried_along_with_a_part(bench_client: Client, parcel: str) -> None:
    reply = tap(bench_client, f"{parcel}belongings/", "belongings", nothing="yes")
    assert 'hx-swap-oob="true"' in part(reply, "lead")


def test_tied_parcel_leads_to_the_rest_of_its_sheet(
    bench_client: Client, parcel: str, wrong: Build, owner: User, now: datetime
) -> None:
    check_cell(wrong, owner, now)
    page = bench_client.get(parcel).content.decode()
    for place in ("#condition", "#stands", "tag/"):
        assert f"/build/{wrong.number}/{place}" in page
    assert f"/build/{wrong.number}/tell/" in page


def test_stranger_is_sent_to_sign_in(stranger: Client, parcel: str) -> None:
    assert stranger.get(parcel).url.startswith("/sign-in/")


def test_belonging_tapped_by_mistake_is_counted_down(bench_client: Client, parcel: str) -> None:
    for _tap in range(2):
        tap(bench_client, f"{parcel}belongings/", what="key", quantity="1")
    thing = Belonging.objects.get()
    assert thing.quantity == 2
    less = f"{parcel}belongings/{thing.pk}/less/"
    tap(bench_client, less)
    thing.refresh_from_db()
    assert thing.quantity == 1
    tap(bench_client, less)
    assert not Belonging.objects.exists()
    tap(bench_client, less)  # gone already: nothing breaks


def test_belonging_that_is_ticked_off_is_not_counted_down(
    bench_client: Client, parcel: str, now: datetime
) -> None:
    tap(bench_client, f"{parcel}belongings/", what="key", quantity="1")
    Belonging.objects.update(returned_at=now)
    thing = Belonging.objects.get()
    reply = tap(bench_client, f"{parcel}belongings/{thing.pk}/less/")
    assert "accounted for already" in words(reply)


def test_empty_intake_says_what_to_do(bench_client: Client, house: object) -> None:
    assert "No parcel yet" in words(bench_client.get("/intake/"))


def test_hilt_that_came_before_anyone_agreed_is_not_expected_any_more(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build, _arrival = stands.arrived(owner, now, State.BOOKED)
    page = bench_client.get("/intake/").content.decode()
    here, expected = page.split(">Expected<")
    assert f'id="row-{build.number}"' in here
    assert f'id="row-{build.number}"' not in expected


def test_parcel_that_is_no_builds_is_let_go_and_taken_up_again(
    bench_client: Client, arrival: Arrival, parcel: str
) -> None:
    reply = tap(bench_client, parcel + "gone/", went="back", words="not ours, FP 77")
    assert "A parcel that is no build's" in words(reply)
    assert "Sent back to the sender: not ours, FP 77" in words(reply)
    assert 'id="match"' not in reply.content.decode()
    assert "views to take" not in words(reply)
    assert "sent back to the sender" in words(bench_client.get("/intake/"))
    assert "Say whose it is" not in words(bench_client.get("/"))
    reply = tap(bench_client, parcel + "gone/back/")
    assert "It waits for its build again." in words(reply)
    assert "Say whose it is" in words(bench_client.get("/"))


def test_refused_letting_go_comes_back_with_what_was_typed(
    bench_client: Client, parcel: str
) -> None:
    reply = bench_client.post(parcel + "gone/", {"went": "", "words": "FP 77"})
    assert reply.status_code == 422
    assert 'value="FP 77"' in reply.content.decode()


def test_parcel_of_a_build_is_not_let_go(
    bench_client: Client, arrival: Arrival, parcel: str, owner: User, now: datetime
) -> None:
    intake.match(arrival, make_build(owner, now), owner, now)
    assert 'id="went"' not in bench_client.get(parcel).content.decode()
    reply = tap(bench_client, parcel + "gone/", went="back", words="x")
    assert "matched to a build" in words(reply)
