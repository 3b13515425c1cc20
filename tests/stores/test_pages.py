"""The pages of the stores: what they show, what they refuse, who sees what."""

import re
from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from shop.house.models import House
from shop.models import User
from shop.stores.actions import parts, stock
from shop.stores.actions.typical import add_typical
from shop.stores.models import Part, Rating, StockLevel, StockRow
from shop.stores.specs import SPECS, problem, problems, ratings
from shop.stores.typical import TYPICAL, Typical
from tests.makers import make_part

pytestmark = pytest.mark.django_db
CELL = {
    "name": "cell, plain", "counted": "piece", "pack": "1", "stocked": "on", "source": "data sheet",
    "diameter_mm": "18.6", "length_mm": "69,5 mm", "protected": "yes", "chemistry": "ion",
    "nominal_mv": "3.6", "full_mv": "4.2 V", "capacity_mah": "3 Ah", "max_current_ma": "15 A",
}  # fmt: skip


def page(part: Part, name: str = "stores_part") -> str:
    return reverse(name, args=[part.pk])


def add(client: Client, kind: str, fields: dict[str, str], **changes: str) -> int:
    data = {"token": str(uuid4()), **fields, **changes}
    return client.post(reverse("stores_add_kind", args=[kind]), data).status_code


def levels(part: Part) -> tuple[int, int]:
    level = StockLevel.objects.get(part=part)
    return level.on_hand, level.reserved


def test_a_cell_is_typed_in_as_people_think_of_it(bench_client: Client) -> None:
    assert add(bench_client, "cell", CELL) == 303
    part = Part.objects.get()
    assert part.spec == {
        "diameter_mm": 18.6, "length_mm": 69.5, "protected": "yes", "chemistry": "ion",
        "nominal_mv": 3600, "full_mv": 4200,
    }  # fmt: skip
    stated = {rating.quantity: (rating.value, rating.source) for rating in Rating.objects.all()}
    assert stated == {
        "capacity_mah": (3000, "data sheet"),
        "max_current_ma": (15_000, "data sheet"),
    }
    shown = bench_client.get(page(part)).content.decode()
    for text in ("3000\u202fmAh", "15\u202fA", "3.6\u202fV", "18.6\u202fmm", "data sheet"):
        assert text in shown


def test_a_double_tap_writes_one_part(bench_client: Client) -> None:
    token = str(uuid4())
    for _tap in range(2):
        assert add(bench_client, "cell", CELL, token=token) == 303
    assert Part.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "why"),
    [
        ("max_current_ma", "15", "Say the unit too, such as 15 A or 800 mA."),
        ("max_current_ma", "90 A", "That is too much: at most 60\u202fA."),
        ("diameter_mm", "186", "That is too much: at most 60\u202fmm."),
        ("diameter_mm", "wide", "Type a length such as 26.2 mm or 7/8 in."),
        ("diameter_mm", "0", "Type a number above 0."),
        ("nominal_mv", "36 V", "Type something from 1\u202fV to 30\u202fV."),
        ("protected", "", "This field is required."),
        ("source", "", "This field is required."),
        ("name", "", "This field is required."),
    ],
)
def test_bad_input_is_said_beside_the_field_and_nothing_typed_is_lost(
    bench_client: Client, field: str, typed: str, why: str
) -> None:
    data = {"token": str(uuid4()), **CELL, field: typed}
    answer = bench_client.post(reverse("stores_add_kind", args=["cell"]), data)
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert why in shown
    assert 'value="69,5 mm"' in shown
    assert not Part.objects.exists()


@pytest.mark.parametrize("kind", sorted(SPECS))
def test_every_kind_has_its_form(bench_client: Client, kind: str) -> None:
    shown = bench_client.get(reverse("stores_add_kind", args=[kind])).content.decode()
    for quantity in SPECS[kind]:
        assert f'name="{quantity.name}"' in shown


def test_lengths_are_typed_and_shown_in_the_shops_unit(bench_client: Client, house: House) -> None:
    House.objects.update(length_unit="in")
    assert add(bench_client, "cell", CELL, diameter_mm="3/4", length_mm="2.75") == 303
    part = Part.objects.get()
    assert (part.spec["diameter_mm"], part.spec["length_mm"]) == (19.05, 69.85)
    assert "2.750\u202fin" in bench_client.get(page(part)).content.decode()


def test_a_length_left_as_it_is_shown_keeps_every_digit(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="cell")
    House.objects.update(length_unit="in")
    address = page(part, "stores_part_change")
    form = bench_client.get(address).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    data["name"] = "cell, another name"
    assert data["diameter_mm"] != "18.6"
    assert bench_client.post(address, data).status_code == 303
    changed = Part.objects.get(pk=part.pk)
    assert (changed.name, changed.spec) == ("cell, another name", part.spec)


def test_the_other_tablet_is_told_who_changed_it_first(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="speaker")
    address = page(part, "stores_part_change")
    form = bench_client.get(address).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    parts.change_part(
        part.pk, {"name": "speaker A"}, spec=part.spec, seen=int(data["seen"]), by=owner, now=now
    )
    answer = bench_client.post(address, data | {"name": "speaker B"}, follow=True)
    assert "Oda changed this part first" in answer.content.decode()
    assert Part.objects.get().name == "speaker A"


def test_stock_is_moved_by_hand_from_the_page(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now)
    for name, more in [
        ("stores_receive", {"quantity": "10"}),
        ("stores_write_off", {"quantity": "2", "reason": "cone torn"}),
        ("stores_put_back", {"quantity": "1", "reason": "board swapped"}),
        ("stores_count", {"quantity": "8", "seen": "9"}),
    ]:
        answer = bench_client.post(page(part, name), {"token": str(uuid4()), **more})
        assert answer.status_code == 303, name
    assert levels(part) == (8, 0)
    shown = bench_client.get(page(part)).content.decode()
    for text in ("+10", "\u22122", "cone torn", "+1", "board swapped", "\u22121", "Jory"):
        assert text in shown


@pytest.mark.parametrize(
    ("name", "more", "why"),
    [
        ("stores_receive", {"quantity": "0"}, "Type 1 or more."),
        ("stores_receive", {"quantity": "many"}, "whole number"),
        ("stores_write_off", {"quantity": "2", "reason": "lost"}, "2 wanted, 1 free"),
        ("stores_write_off", {"quantity": "1"}, "required"),
        ("stores_count", {"quantity": "0", "seen": "2"}, "1 are reserved"),
    ],
)
def test_what_stock_refuses_is_said_and_the_form_stands_open(
    bench_client: Client, owner: User, now: datetime, name: str, more: dict[str, str], why: str
) -> None:
    part = make_part(owner, now, 2)
    build = {"about": "build:142", "whose": "0142 Copperfen"}
    stock.reserve(part, 1, **build, token=uuid4(), by=owner, now=now)
    answer = bench_client.post(page(part, name), {"token": str(uuid4()), **more})
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert '<details class="fold" open>' in answer.content.decode()
    assert levels(part) == (2, 1)


def test_a_count_against_an_older_page_is_told_so(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, 2)
    data = {"token": str(uuid4()), "quantity": "3", "seen": "1"}
    answer = bench_client.post(page(part, "stores_count"), data, follow=True)
    assert "Oda changed stock meanwhile: 2 on hand now" in answer.content.decode()


def test_what_is_reserved_leads_to_its_build(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, 2)
    build = {"about": "build:7", "whose": "0142 Copperfen"}
    stock.reserve(part, 1, **build, token=uuid4(), by=owner, now=now)
    shown = bench_client.get(page(part)).content.decode()
    assert f'<a href="{reverse("bench_sheet", args=[142])}">0142 Copperfen</a>' in shown


def test_conflicting_figures_are_shown_with_the_one_that_is_used(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="cell")
    data = {"quantity": "max_current_ma", "value": "8 A", "source": "measured here"}
    assert bench_client.post(page(part, "stores_state"), data).status_code == 303
    answer = bench_client.get(page(part))
    row = next(row for row in answer.context["spec"] if len(row.said) > 1)
    assert row.text == "8\u202fA"
    assert [(said.text, said.source, said.is_used) for said in row.said] == [
        ("8\u202fA", "measured here", True),
        ("10\u202fA", "data sheet", False),
    ]
    assert "the lower is used" in answer.content.decode()
    lower = Rating.objects.get(value=8000)
    assert bench_client.post(reverse("stores_withdraw", args=[lower.pk])).status_code == 303
    assert "the lower is used" not in bench_client.get(page(part)).content.decode()


def test_a_stated_figure_wants_its_unit_and_its_source(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="cell")
    data = {"quantity": "max_current_ma", "value": "8", "source": ""}
    answer = bench_client.post(page(part, "stores_state"), data)
    assert answer.status_code == 422
    assert "Say the unit too" in answer.content.decode()


def test_costs_are_the_owners_alone(
    owner_client: Client, bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now)
    data = {"token": str(uuid4()), "quantity": "10", "cost_minor": "4.35"}
    owner_client.post(page(part, "stores_receive"), data)
    Part.objects.filter(pk=part.pk).update(cost_minor=621)
    mine, theirs = (
        client.get(page(part)).content.decode() for client in (owner_client, bench_client)
    )
    for cost in ("4.35", "6.21"):
        alone = rf"\b{re.escape(cost)}\b"  # a moment's seconds may hold these digits
        assert re.search(alone, mine)
        assert not re.search(alone, theirs)
    assert "cost_minor" not in theirs


def test_a_bench_hand_cannot_send_a_cost(bench_client: Client, owner: User, now: datetime) -> None:
    part = make_part(owner, now)
    Part.objects.filter(pk=part.pk).update(cost_minor=621)
    data = {"token": str(uuid4()), "quantity": "10", "cost_minor": "4.35"}
    bench_client.post(page(part, "stores_receive"), data)
    assert StockRow.objects.get().cost_minor is None
    address = page(part, "stores_part_change")
    form = bench_client.get(address).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    bench_client.post(address, data | {"cost_minor": "0.01", "name": "speaker"})
    assert Part.objects.get().cost_minor == 621


def test_parts_are_found_by_name_label_and_kind(
    bench_client: Client, owner: User, now: datetime
) -> None:
    speaker = make_part(owner, now, 1, name="Speaker, 28 mm")
    cell = make_part(owner, now, kind="cell", name="cell")
    parts.retire_part(make_part(owner, now, name="old speaker").pk, by=owner, now=now)

    def shown(asked: str) -> list[str]:
        groups = bench_client.get(reverse("stores_stores") + asked).context["groups"]
        return [row.part.name for _kind, rows in groups for row in rows]

    add_typical(by=owner, now=now)
    assert shown("") == [cell.name, speaker.name]
    assert shown("?begins=speaker+20") == []
    assert shown("?begins=speaker+20&show=all") == ["speaker 20 mm, 8 Ω"]
    assert shown("?begins=spe") == shown("?kind=speaker") == shown("?show=here") == [speaker.name]
    assert shown("?begins=P0002") == shown("?begins=p2") == shown("?show=short") == [cell.name]
    assert shown("?show=retired") == ["old speaker"]
    assert shown("?begins=x") == []


def test_a_label_carries_the_number_and_a_code_that_opens_the_part(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now)
    answer = bench_client.get(page(part, "stores_label"))
    assert answer.context["address"] == f"http://192.0.2.10:8000{page(part)}"
    assert "P0001" in answer.content.decode()


def test_a_part_is_offered_no_more_and_again(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now)
    bench_client.post(page(part, "stores_retire"))
    assert Part.objects.get().retired
    bench_client.post(page(part, "stores_retire"), {"back": "1"})
    assert not Part.objects.get().retired


@pytest.mark.parametrize("typical", TYPICAL, ids=lambda each: str(each.name))
def test_every_typical_part_is_one_of_its_kind(typical: Typical) -> None:
    kind, stated = typical.kind, typical.stated
    spec = {n: v if isinstance(v, float | int) else str(v) for n, v in typical.spec.items()}
    assert problems(kind, spec) == {}
    known = {each.name: each for each in ratings(kind)}
    assert stated.keys() <= known.keys()
    assert {name for name, each in known.items() if each.required} <= stated.keys()
    assert not any(problem(known[name], value) for name, value in stated.items())
    assert str(typical.source)


def test_typical_parts_are_written_down_once_and_marked(bench_client: Client) -> None:
    assert (
        "Write the typical parts down"
        in bench_client.get(reverse("stores_stores")).content.decode()
    )
    for _tap in range(2):
        assert bench_client.post(reverse("stores_typical")).status_code == 303
    assert Part.objects.count() == len(TYPICAL)
    assert not Part.objects.filter(is_typical=False).exists()
    assert not Rating.objects.filter(is_typical=False).exists()
    # The shop keeps none of its own yet, so what it knows is listed.
    shown = bench_client.get(reverse("stores_stores")).content.decode()
    assert "Write the typical parts down" not in shown
    assert 'class="num estimate"' in shown


def test_figures_that_somebody_vouches_for_are_typical_no_more(
    bench_client: Client, owner: User, now: datetime
) -> None:
    add_typical(by=owner, now=now)
    part = Part.objects.filter(kind="speaker").earliest("pk")
    address = page(part, "stores_part_change")
    form = bench_client.get(address).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    data = {name: value for name, value in data.items() if value is not False}
    assert bench_client.post(address, data | {"depth_mm": "5.5"}).status_code == 303
    part.refresh_from_db()
    assert (part.spec["depth_mm"], part.is_typical) == (5.5, True)
    form = bench_client.get(address).context["form"]
    data["seen"] = form["seen"].value()
    assert (
        bench_client.post(address, data | {"depth_mm": "5.5", "vouched": "on"}).status_code == 303
    )
    part.refresh_from_db()
    assert not part.is_typical


def test_what_goes_by_length_is_moved_in_metres(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="wire")
    Part.objects.filter(pk=part.pk).update(counted="mm", pack=10_000)
    for much in ("2.5 m", "1,5", "800 mm"):
        data = {"token": str(uuid4()), "quantity": much}
        assert bench_client.post(page(part, "stores_receive"), data).status_code == 303
    assert levels(part) == (4800, 0)
    shown = bench_client.get(page(part)).content.decode()
    assert "How much, in metres" in shown
    assert '<dd class="num">10\u202fm</dd>' in shown


@pytest.mark.parametrize("pack", ["0", "-5", "1e9", "9223372036854775807", ""])
def test_an_absurd_pack_is_refused_beside_its_field(bench_client: Client, pack: str) -> None:
    address = reverse("stores_add_kind", args=["cell"])
    answer = bench_client.post(address, {"token": str(uuid4()), **CELL, "pack": pack})
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["pack"]


def test_what_was_typed_is_kept_where_the_other_tablet_was_first(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="speaker")
    address = page(part, "stores_part_change")
    form = bench_client.get(address).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    fields = {"name": "speaker A"}
    parts.change_part(part.pk, fields, spec=part.spec, seen=int(data["seen"]), by=owner, now=now)
    answer = bench_client.post(address, data | {"name": "speaker B"})
    assert answer.status_code == 422
    kept = answer.context["form"]
    assert kept["name"].value() == "speaker B"
    again = data | {"name": "speaker B", "seen": kept["seen"].value()}
    assert bench_client.post(address, again).status_code == 303
    assert Part.objects.get().name == "speaker B"
