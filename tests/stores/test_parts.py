"""Parts written down, changed, retired; what is stated of them, and what counts."""

from datetime import datetime
from uuid import uuid4

import pytest

from shop.history.queries import entries_about, last_about
from shop.models import User
from shop.stores.actions import Overtaken, Refused, parts, stock
from shop.stores.models import Part, Rating
from shop.stores.queries import figures
from shop.web.speech import speaking
from tests.makers import RATINGS_OF, SPECS_OF, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def cell(owner: User, now: datetime) -> Part:
    return make_part(owner, now, kind="cell", name="cell, 18650")


def add_cell(by: User, now: datetime, **changes: object) -> Part:
    spec = {**SPECS_OF["cell"], **changes}
    return parts.add_part(
        "cell", {"name": "cell"}, spec=spec, stated=RATINGS_OF["cell"], source="data sheet",
        token=uuid4(), by=by, now=now,
    )  # fmt: skip


def seen(part: Part) -> int:
    last = last_about(part.about)
    return last.pk if last else 0


def test_a_part_has_a_number_a_level_and_its_ratings(cell: Part, owner: User) -> None:
    assert (cell.label, cell.level.on_hand, cell.is_typical) == ("P0001", 0, False)
    known = figures([cell])[cell.pk]
    assert known.number("max_current_ma") == 10_000
    assert known.by_name["capacity_mah"].source == "data sheet"
    assert [line.text for line in entries_about(cell.about)] == ["Written down as P0001"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"diameter_mm": 0}, {"diameter_mm": 600}, {"diameter_mm": "wide"}, {"protected": "maybe"},
        {"nominal_mv": None}, {"hole_mm": 12}, {"length_mm": float("nan")},
    ],
    ids=str,
)  # fmt: skip
def test_a_spec_that_cannot_be_is_refused(
    wrong: dict[str, object], owner: User, now: datetime
) -> None:
    with pytest.raises(Refused):
        add_cell(owner, now, **wrong)
    assert not Part.objects.exists()


def test_of_two_sources_the_lower_counts(cell: Part, owner: User, now: datetime) -> None:
    parts.state_rating(cell.pk, "max_current_ma", 8000, "measured here", by=owner, now=now)
    found = figures([cell])[cell.pk].by_name["max_current_ma"]
    assert (found.value, found.source) == (8000, "measured here")
    assert [(each.value, each.source) for each in found.others] == [(10_000, "data sheet")]
    assert entries_about(cell.about)[0].text == (
        "Stated by measured here: continuous current at most 8\u202fA"
    )


def test_a_wrong_rating_is_used_no_more_and_stays(cell: Part, owner: User, now: datetime) -> None:
    low = parts.state_rating(cell.pk, "max_current_ma", 800, "the seller", by=owner, now=now)
    for _tap in range(2):
        parts.withdraw_rating(low.pk, by=owner, now=now)
    assert figures([cell])[cell.pk].number("max_current_ma") == 10_000
    assert Rating.objects.get(pk=low.pk).withdrawn_at == now
    assert [line.text for line in entries_about(cell.about)][:2] == [
        "Used no more: continuous current at most 800\u202fmA, stated by the seller",
        "Stated by the seller: continuous current at most 800\u202fmA",
    ]


def test_the_same_said_twice_is_kept_once(cell: Part, owner: User, now: datetime) -> None:
    for _tap in range(2):
        parts.state_rating(cell.pk, "max_current_ma", 8000, "the seller", by=owner, now=now)
    assert cell.ratings.filter(quantity="max_current_ma").count() == 2


@pytest.mark.parametrize(
    ("quantity", "value", "source"),
    [
        ("max_current_ma", 0, "the seller"), ("max_current_ma", 9e9, "the seller"),
        ("max_current_ma", 8000, " "), ("diameter_mm", 18, "the seller"),
        ("max_current_ma", float("inf"), "the seller"),
    ],
)  # fmt: skip
def test_a_rating_that_cannot_be_is_refused(
    quantity: str, value: float, source: str, cell: Part, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused):
        parts.state_rating(cell.pk, quantity, value, source, by=owner, now=now)


def test_a_change_says_what_changed(cell: Part, owner: User, now: datetime) -> None:
    spec = {**cell.spec, "length_mm": 70.1}
    fields = {"name": "cell, 18650, protected"}
    changed = parts.change_part(cell.pk, fields, spec=spec, seen=seen(cell), by=owner, now=now)
    assert (changed.name, changed.spec["length_mm"]) == ("cell, 18650, protected", 70.1)
    newest = last_about(cell.about)
    assert newest is not None
    assert newest.parameters == {"fields": ["name", "spec"]}


def test_the_other_tablet_that_changed_it_first_is_named(
    cell: Part, owner: User, bench_hand: User, now: datetime
) -> None:
    before = seen(cell)
    parts.change_part(
        cell.pk, {"name": "cell A"}, spec=cell.spec, seen=before, by=bench_hand, now=now
    )
    with pytest.raises(Overtaken, match="Jory changed this part first"):
        parts.change_part(
            cell.pk, {"name": "cell B"}, spec=cell.spec, seen=before, by=owner, now=now
        )
    assert Part.objects.get(pk=cell.pk).name == "cell A"


def test_how_it_is_counted_stays_once_it_is_in_stock(
    cell: Part, owner: User, now: datetime
) -> None:
    stock.receive(cell, 1, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="counted"):
        parts.change_part(
            cell.pk, {"counted": "mm"}, spec=cell.spec, seen=seen(cell), by=owner, now=now
        )


def test_a_part_that_is_reserved_is_not_retired(cell: Part, owner: User, now: datetime) -> None:
    stock.receive(cell, 1, token=uuid4(), by=owner, now=now)
    build = {"about": "build:142", "whose": "0142 Copperfen"}
    held = stock.reserve(cell, 1, **build, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="0142 Copperfen"):
        parts.retire_part(cell.pk, by=owner, now=now)
    stock.release(held, token=uuid4(), by=owner, now=now)
    assert parts.retire_part(cell.pk, by=owner, now=now).retired
    assert not parts.bring_back(cell.pk, by=owner, now=now).retired


def test_a_figure_is_written_down_in_the_language_of_the_shop(
    cell: Part, owner: User, now: datetime
) -> None:
    with speaking("de"):
        parts.state_rating(cell.pk, "max_current_ma", 2500, "the seller", by=owner, now=now)
    assert entries_about(cell.about)[0].text.endswith("2.5\u202fA")
