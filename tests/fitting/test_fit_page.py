"""The fit page: what it shows, where parts are placed, what is taken instead, what it costs."""

import re
from datetime import datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.fitting.actions.freeze import freeze
from builds.fitting.actions.parts import place, plan_part, swap
from builds.fitting.actions.plan import choose_chassis
from builds.fitting.actions.taking_off import take_off
from builds.fitting.models import Chassis, Decision, Plan
from builds.fitting.queries.fit import verdicts
from builds.fitting.queries.fit_page import fit_page
from builds.hilts.actions import Reading, add_hole, add_section, measure
from builds.hilts.states import Basis, MeasuredThing
from builds.models import Build
from builds.progress.states import Kind, State
from shop.house.queries import house
from shop.models import User
from shop.stores.actions.parts import add_part
from tests.fitting.fits import Fitted, fit_out, part_of
from tests.makers import make_build

pytestmark = pytest.mark.django_db
TOO_SMALL = 26.01


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


@pytest.fixture
def tight(build: Build, owner: User, now: datetime) -> Fitted:
    return fit_out(build, owner, now, grip_bore=TOO_SMALL)


def page_of(client: Client, build: Build) -> str:
    answer = client.get(reverse("fitting_fit", args=[build.number]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_young_build_says_what_is_missing(owner_client: Client, build: Build) -> None:
    page = page_of(owner_client, build)
    assert "Not worked out yet" in page
    assert "Nothing of this hilt is written down" in page
    assert '<svg class="drawing lying"' not in page


def test_what_does_not_fit_stands_first(owner_client: Client, tight: Fitted) -> None:
    page = page_of(owner_client, tight.build)
    assert "Does not fit" in page
    assert "Sound board over cell is 0.15\u202fmm too much for the grip." in page


def test_what_fits_says_so(owner_client: Client, build: Build, owner: User, now: datetime) -> None:
    fit_out(build, owner, now)
    assert "Everything fits" in page_of(owner_client, build)


def test_the_drawings_numbers_are_the_tables(owner_client: Client, tight: Fitted) -> None:
    page = page_of(owner_client, tight.build)
    drawn = re.findall(r'<text[^>]* data-of="([^"]+)" data-mm="([^"]+)"', page)
    table = dict(re.findall(r'<span[^>]* data-of="([^"]+)" data-mm="([^"]+)"', page))
    assert len(drawn) > 15
    for of, mm in drawn:
        assert table[of] == mm, of


def test_a_blade_alone_has_no_fit(owner_client: Client, owner: User, now: datetime) -> None:
    blade = make_build(owner, now, kind=Kind.BLADE)
    answer = owner_client.get(reverse("fitting_fit", args=[blade.number]))
    assert answer.status_code == 404


def test_the_bench_sees_the_fit_too(bench_client: Client, tight: Fitted) -> None:
    assert "Does not fit" in page_of(bench_client, tight.build)


def test_stores_name_what_would_fit_the_free_ones_first(
    tight: Fitted, owner: User, now: datetime
) -> None:
    part_of("board", owner, now, 0, "slim and gone", width_mm=19)
    part_of("board", owner, now, 2, "slim", width_mm=18)
    part_of("board", owner, now, 2, "wide", width_mm=24)
    shown = fit_page(tight.build)
    cut = next(cut for cut in shown.cuts if not cut.cut.fits)
    boards = next(advice for advice in cut.advice if advice.row_id == tight.board.pk)
    assert [(option.part.name, option.free) for option in boards.options] == [
        ("slim", 2), ("slim and gone", 0),
    ]  # fmt: skip
    assert boards.options[0].room.text.startswith("+0.7")
    assert boards.options[0].sheet


def test_a_fitted_part_is_not_offered_for_swapping(
    tight: Fitted, owner: User, now: datetime
) -> None:
    part_of("board", owner, now, 2, "slim", width_mm=18)
    type(tight.board).objects.filter(pk=tight.board.pk).update(fitted_at=now, fitted_by=owner)
    shown = fit_page(tight.build)
    assert all(advice.row_id != tight.board.pk for cut in shown.cuts for advice in cut.advice)


def test_one_tap_takes_what_fits(
    bench_client: Client, tight: Fitted, owner: User, now: datetime
) -> None:
    slim = part_of("board", owner, now, 2, "slim", width_mm=18)
    url = reverse("fitting_fit_swap", args=[tight.build.number, tight.board.pk])
    sent = {"part": slim.pk, "token": uuid4()}
    for _tap in range(2):
        assert bench_client.post(url, sent).status_code == 303
    row = tight.build.parts.get(kind="board", ended_at=None)
    assert (row.part, row.section, row.lies_on) == (slim, tight.sections[1], tight.cell)
    assert "Everything fits" in page_of(bench_client, tight.build)


def test_the_other_tablet_took_another_one_first(
    owner_client: Client, tight: Fitted, owner: User, now: datetime
) -> None:
    slim = part_of("board", owner, now, 2, "slim", width_mm=18)
    other = part_of("board", owner, now, 2, "slimmer", width_mm=16)
    swap(tight.board, other, token=uuid4(), by=owner, now=now)
    url = reverse("fitting_fit_swap", args=[tight.build.number, tight.board.pk])
    page = owner_client.post(url, {"part": slim.pk, "token": uuid4()}, follow=True).content.decode()
    assert "Nothing was changed" in page
    assert tight.build.parts.get(kind="board", ended_at=None).part == other


def test_a_swap_without_a_part_is_refused_in_words(owner_client: Client, tight: Fitted) -> None:
    url = reverse("fitting_fit_swap", args=[tight.build.number, tight.board.pk])
    assert "out of date" in owner_client.post(url, {"part": "x"}, follow=True).content.decode()


def test_a_part_that_sits_nowhere_is_placed_here(
    owner_client: Client, tight: Fitted, owner: User, now: datetime
) -> None:
    place(tight.speaker, None, 3, None, by=owner, now=now)
    page = page_of(owner_client, tight.build)
    assert "nowhere yet" in page
    name = f"part-{tight.speaker.pk}"
    url = reverse("fitting_fit_place", args=[tight.build.number])
    wrong = owner_client.post(url, {f"{name}-section": "", f"{name}-position": "7"})
    assert wrong.status_code == 422
    assert 'value="7"' in wrong.content.decode()
    right = {f"{name}-section": tight.sections[2].pk, f"{name}-position": 3, f"{name}-lies_on": ""}
    assert owner_client.post(url, right).status_code == 303
    tight.speaker.refresh_from_db()
    assert tight.speaker.section == tight.sections[2]


def test_a_part_does_not_lie_on_what_lies_on_it(owner_client: Client, tight: Fitted) -> None:
    name = f"part-{tight.cell.pk}"
    url = reverse("fitting_fit_place", args=[tight.build.number])
    sent = {
        f"{name}-section": tight.sections[1].pk, f"{name}-position": 1,
        f"{name}-lies_on": tight.board.pk,
    }  # fmt: skip
    answer = owner_client.post(url, sent)
    assert answer.status_code == 422
    assert "cannot lie on that part" in answer.content.decode()


def test_a_part_that_sits_somewhere_is_moved_on_demand(owner_client: Client, tight: Fitted) -> None:
    url = reverse("fitting_fit", args=[tight.build.number])
    field = f'name="part-{tight.cell.pk}-section"'
    assert field not in owner_client.get(url).content.decode()
    assert field in owner_client.get(f"{url}?move={tight.cell.pk}").content.decode()


def test_a_part_of_another_build_is_not_placed_here(
    owner_client: Client, tight: Fitted, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.TEARDOWN)
    url = reverse("fitting_fit_place", args=[other.number])
    sent = said_of(tight.cell.pk, tight.sections[2].pk, 1)
    assert owner_client.post(url, sent).status_code == 303
    tight.cell.refresh_from_db()
    assert tight.cell.section == tight.sections[1]


def said_of(part: int, section: int | str, position: int, on: int | str = "") -> dict[str, object]:
    """A row of the form as it is sent."""
    return {
        f"part-{part}-section": section, f"part-{part}-position": position,
        f"part-{part}-lies_on": on,
    }  # fmt: skip


@pytest.fixture
def loose(tight: Fitted, owner: User, now: datetime) -> Fitted:
    """A fit whose parts sit nowhere yet."""
    for row in (tight.board, tight.cell, tight.speaker):
        place(row, None, row.position, None, by=owner, now=now)
    return tight


def test_several_parts_are_placed_with_one_tap(owner_client: Client, loose: Fitted) -> None:
    page = page_of(owner_client, loose.build)
    assert page.count("Place them all") == 1
    assert page.index("Where each part sits") < page.index("Every bore")
    url = reverse("fitting_fit_place", args=[loose.build.number])
    grip, pommel = loose.sections[1].pk, loose.sections[2].pk
    sent = {
        **said_of(loose.cell.pk, grip, 1), **said_of(loose.board.pk, grip, 2, loose.cell.pk),
        **said_of(loose.speaker.pk, pommel, 3),
    }  # fmt: skip
    assert owner_client.post(url, sent).status_code == 303
    for row in (loose.cell, loose.board, loose.speaker):
        row.refresh_from_db()
    assert [loose.cell.section_id, loose.board.section_id, loose.speaker.section_id] == [
        grip, grip, pommel,
    ]  # fmt: skip
    assert loose.board.lies_on == loose.cell


def test_one_wrong_row_places_none_and_keeps_what_was_typed(
    owner_client: Client, loose: Fitted
) -> None:
    url = reverse("fitting_fit_place", args=[loose.build.number])
    grip = loose.sections[1].pk
    sent = {
        **said_of(loose.cell.pk, grip, 41, loose.board.pk),
        **said_of(loose.board.pk, grip, 42, loose.cell.pk),
    }  # fmt: skip
    answer = owner_client.post(url, sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert page.count("cannot lie on that part") == 1
    assert 'value="41"' in page
    assert 'value="42"' in page
    assert not loose.build.parts.filter(section__isnull=False).exists()


def test_a_row_that_nobody_touched_asks_for_nothing(owner_client: Client, loose: Fitted) -> None:
    url = reverse("fitting_fit_place", args=[loose.build.number])
    speaker, cell = loose.speaker, loose.cell
    sent = {
        **said_of(cell.pk, "", cell.position),
        **said_of(speaker.pk, loose.sections[2].pk, speaker.position),
    }
    assert owner_client.post(url, sent).status_code == 303
    speaker.refresh_from_db()
    assert speaker.section == loose.sections[2]


def test_the_page_costs_at_most_twelve_queries(
    owner_client: Client, tight: Fitted, owner: User, now: datetime
) -> None:
    for number in range(30):
        part_of("board", owner, now, 1, f"board {number}", width_mm=10 + number / 3)
    for place_in in range(6):
        extra = plan_part(
            tight.build, tight.speaker.part, 1, section=tight.sections[place_in % 3],
            token=uuid4(), by=owner, now=now,
        )  # fmt: skip
        assert extra.pk
    with CaptureQueriesContext(
        connection,
    ) as queries:
        page_of(owner_client, tight.build)
    assert len(queries) <= 12, [query["sql"][:90] for query in queries]


def test_the_verdict_of_many_builds_costs_the_same(owner: User, now: datetime) -> None:
    def cost(builds: list[Build]) -> int:
        with CaptureQueriesContext(connection) as queries:
            verdicts(builds)
        return len(queries)

    builds = [make_build(owner, now, State.TEARDOWN) for _number in range(4)]
    for each in builds:
        fit_out(each, owner, now)
    assert cost(builds[:1]) == cost(builds) <= 7


def test_a_verdict_says_what_stops_and_what_is_missing(
    tight: Fitted, owner: User, now: datetime
) -> None:
    assert "too much for the grip" in verdicts([tight.build])[tight.build.pk].why
    take_off(tight.board, "", token=uuid4(), by=owner, now=now)
    assert verdicts([tight.build])[tight.build.pk].why == "No sound board is chosen."
    fine = make_build(owner, now, State.TEARDOWN)
    fit_out(fine, owner, now)
    assert verdicts([fine])[fine.pk].why == ""


@pytest.mark.parametrize(
    ("kind", "chassis", "asked"),
    [
        (Kind.FULL, "", True), (Kind.FULL, Chassis.REMOVABLE, True),
        (Kind.FULL, Chassis.NONE, False), (Kind.UPGRADE, "", False),
        (Kind.UPGRADE, Chassis.FIXED, True), (Kind.REPAIR, Chassis.FIXED, False),
    ],
)  # fmt: skip
def test_a_fit_is_asked_of_full_installs_and_new_chassis(
    owner: User, now: datetime, kind: str, chassis: str, asked: bool
) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    if chassis:
        choose_chassis(build, chassis, by=owner, now=now)
    assert (build.pk in verdicts([build])) == asked


def test_the_result_is_kept_as_it_was(tight: Fitted, owner: User, now: datetime) -> None:
    freeze(tight.build, now)
    slim = part_of("board", owner, now, 2, "slim", width_mm=18)
    swap(tight.board, slim, token=uuid4(), by=owner, now=now)
    plan = Plan.objects.get(build=tight.build)
    assert plan.frozen_at == now
    assert plan.fit
    assert plan.fit["findings"][0]["code"] == "bore-too-small"
    grip = next(cut for cut in plan.fit["across"] if cut["section"] == "grip")
    assert grip["clearance_mm"] == pytest.approx(-0.141163)
    freeze(tight.build, now)
    plan.refresh_from_db()
    assert plan.fit


@pytest.fixture
def unsure(build: Build, owner: User, now: datetime) -> Fitted:
    """A fit with less to spare than the bore may be off: somebody has to decide."""
    fitted = fit_out(build, owner, now)
    read = Reading(value=26.3, second=None, as_typed="26.3 mm", tolerance=0.5)
    known = {str(MeasuredThing.BORE): read}
    measure(
        fitted.sections[1], known, basis=Basis.MEASURED, token=uuid4(), by=owner, now=now
    )  # fmt: skip
    return fitted


def test_an_open_decision_is_said_before_that_it_fits(owner_client: Client, unsure: Fitted) -> None:
    page = page_of(owner_client, unsure.build)
    assert "Fits, one thing to decide" in page
    assert "Everything fits" not in page


def test_a_fit_is_decided_on_its_own_page_and_seen_on_both(
    bench_client: Client, unsure: Fitted
) -> None:
    number = unsure.build.number
    key = fit_page(unsure.build).to_decide[0].key
    url = reverse("fitting_fit_decide", args=[number])
    empty = bench_client.post(url, {"key": key, "token": uuid4(), "words": ""})
    assert empty.status_code == 422
    assert "Fits, one thing to decide" in empty.content.decode()
    sent = {"key": key, "token": uuid4(), "words": "tried the real parts"}
    for _tap in range(2):
        assert bench_client.post(url, sent).status_code == 303
    assert Decision.objects.get(build=unsure.build).words == "tried the real parts"
    power = bench_client.get(reverse("fitting_power", args=[number])).content.decode()
    for page in (page_of(bench_client, unsure.build), power):
        assert "tried the real parts" in page
    assert "Everything fits" in page_of(bench_client, unsure.build)
    assert "Needs a decision" not in page_of(bench_client, unsure.build)


def test_who_decided_first_is_said_to_the_other_tablet(
    owner_client: Client, bench_client: Client, unsure: Fitted
) -> None:
    key = fit_page(unsure.build).to_decide[0].key
    url = reverse("fitting_fit_decide", args=[unsure.build.number])
    owner_client.post(url, {"key": key, "token": uuid4(), "words": "mine"})
    late = bench_client.post(url, {"key": key, "token": uuid4(), "words": "also mine"})
    assert late.status_code == 422
    assert "decided it first: mine" in late.content.decode()


def test_what_is_not_measured_leads_to_its_section_opened(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    fitted = fit_out(build, owner, now)
    bare = fitted.sections[0].hilt
    new = add_section(bare, "spacer", token=uuid4(), by=owner, now=now)
    link = f"?build={build.number}&amp;measure={new.pk}#section-{new.pk}"
    assert link in page_of(owner_client, build)
    page = owner_client.get(f"/hilt/{bare.pk}/", {"measure": fitted.sections[1].pk})
    opened = [part["row"].section for part in page.context["parts"] if part["is_next"]]
    assert opened == [fitted.sections[1]]


def test_one_tap_puts_the_cell_behind_the_switch(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    fitted = fit_out(build, owner, now)
    grip = fitted.sections[1]
    hole = add_hole(grip.pk, what="switch", note="", token=uuid4(), by=owner, now=now)
    read = Reading(value=10, second=None, as_typed="10 mm")
    known = {str(MeasuredThing.FROM_FRONT): read}
    measure(hole, known, basis=Basis.MEASURED, token=uuid4(), by=owner, now=now)
    deep = {"hole_mm": 12.0, "body_mm": 12.0, "depth_mm": 18.0}
    switch = add_part(
        "switch", {"name": "deep switch"}, spec=deep, stated={}, source="data sheet",
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    plan_part(build, switch, 1, section=grip, token=uuid4(), by=owner, now=now)
    page = page_of(bench_client, build)
    assert "Put the cell behind the switch" in page
    url = reverse("fitting_fit_behind", args=[build.number, fitted.cell.pk])
    assert bench_client.post(url, {"starts_mm": "17"}).status_code == 303
    fitted.cell.refresh_from_db()
    assert fitted.cell.starts_mm == 17
    page = page_of(bench_client, build)
    assert "too far into" not in page
    assert "starts 17.0\u202fmm from the section’s front edge" in page


def test_a_start_is_typed_in_the_shops_unit(owner_client: Client, tight: Fitted) -> None:
    shop = house()
    shop.length_unit = "in"
    shop.save()
    url = reverse("fitting_fit_place", args=[tight.build.number])
    name = f"part-{tight.cell.pk}-starts_mm"
    sent = said_of(tight.cell.pk, tight.sections[1].pk, 1)
    wrong = owner_client.post(url, {**sent, name: "far"})
    assert wrong.status_code == 422
    assert "Type a length such as" in wrong.content.decode()
    assert owner_client.post(url, {**sent, name: "1/2"}).status_code == 303
    tight.cell.refresh_from_db()
    assert tight.cell.starts_mm == pytest.approx(12.7)
    with pytest.raises(IntegrityError), transaction.atomic():
        type(tight.cell).objects.filter(pk=tight.cell.pk).update(starts_mm=-1)
