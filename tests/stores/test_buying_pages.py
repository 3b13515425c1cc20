"""The pages of buying, as the bench and as the owner see them; and what taps do."""

import re
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from shop.house.models import House
from shop.models import User
from shop.stores.models import Claim, Delivery, Part, Purchase, StockLevel, Supplier
from tests.bench.pages import hidden, tap, words
from tests.makers import make_part
from tests.stores.bought import Bought
from tests.stores.orders import deliver, line_of, make_draft, make_ordered, make_supplier

pytestmark = pytest.mark.django_db
MONEY = re.compile(r"£|12\.50|[Cc]ost")


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, name="speaker, 28 mm")


@pytest.fixture
def ordered(part: Part, owner: User, now: datetime) -> Purchase:
    return make_ordered(owner, now, (part, 5))


def on_hand(part: Part) -> int:
    return StockLevel.objects.get(part=part).on_hand


def log(client: Client, made: Purchase, part: Part, many: str, **more: Any) -> Any:
    """Tick a part, as its page asks."""
    key = line_of(made, part).pk
    fields = {"token": uuid4(), "seen": 0, f"came-{key}": "on", f"many-{key}": many}
    return tap(client, f"/stores/orders/{made}/came/", **{**fields, **more})


def addresses(bought: Bought) -> list[str]:
    return [
        "/stores/orders/", "/stores/orders/?show=settled", f"/stores/orders/{bought.purchase}/",
        "/stores/suppliers/", f"/stores/suppliers/{bought.supplier.pk}/", "/stores/claims/",
        "/stores/claims/?show=settled", f"/stores/claims/{bought.claim.pk}/",
        "/stores/claims/new/", "/stores/reorder/",
    ]  # fmt: skip


def test_bench_sees_no_money(
    bench_client: Client, owner_client: Client, owner: User, now: datetime
) -> None:
    bought = Bought(owner, now)
    bought.grow(1)
    for address in addresses(bought):
        answer = bench_client.get(address)
        assert answer.status_code == 200
        assert not MONEY.search(words(answer)), address
    assert "£62.50" in words(owner_client.get(f"/stores/orders/{bought.purchase}/"))


@pytest.mark.parametrize("address", ["orders", "suppliers", "claims", "reorder"])
def test_empty_page_says_what_to_do(
    bench_client: Client, owner_client: Client, address: str
) -> None:
    for client in (bench_client, owner_client):
        assert 'class="empty"' in client.get(f"/stores/{address}/").content.decode()


def test_bench_logs_a_delivery(bench_client: Client, ordered: Purchase, part: Part) -> None:
    answer = log(bench_client, ordered, part, "2", note="one box dented")
    assert "It is in stock." in words(answer)
    assert "2 × speaker, 28 mm one box dented" in words(answer)
    assert on_hand(part) == 2


def test_fresh_page_carries_a_token_and_what_was_seen(
    bench_client: Client, ordered: Purchase, part: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (part, 2))
    page = bench_client.get(f"/stores/orders/{ordered}/").content.decode()
    assert hidden(page, "seen") == "1"
    assert len(hidden(page, "token")) == 36


def test_double_tap_logs_one_delivery(bench_client: Client, ordered: Purchase, part: Part) -> None:
    token = uuid4()
    for _ in range(2):
        assert log(bench_client, ordered, part, "5", token=token).status_code == 200
    assert (on_hand(part), Delivery.objects.count()) == (5, 1)


def test_other_tablet_is_told_and_keeps_what_was_typed(
    bench_client: Client, owner_client: Client, ordered: Purchase, part: Part
) -> None:
    log(bench_client, ordered, part, "2")
    answer = log(owner_client, ordered, part, "3", note="second box")
    assert answer.status_code == 422
    assert "Jory logged a delivery first: 2 × speaker, 28 mm" in words(answer)
    assert 'value="second box"' in answer.content.decode()
    assert on_hand(part) == 2
    # It was another parcel: the same form, tapped again, logs it.
    page = answer.content.decode()
    again = log(
        owner_client, ordered, part, "3", token=hidden(page, "token"), seen=hidden(page, "seen")
    )
    assert again.status_code == 200
    assert on_hand(part) == 5


def test_other_tablet_is_told_where_all_came_meanwhile(
    bench_client: Client, owner_client: Client, ordered: Purchase, part: Part
) -> None:
    log(bench_client, ordered, part, "5")
    answer = log(owner_client, ordered, part, "5")
    assert "Jory logged a delivery first" in words(answer)
    assert on_hand(part) == 5


def test_more_than_was_ordered_is_a_question_with_a_yes(
    bench_client: Client, ordered: Purchase, part: Part
) -> None:
    answer = log(bench_client, ordered, part, "7")
    assert answer.status_code == 422
    assert "7 of “speaker, 28 mm” came, and 5 were still to come. Is that so?" in words(answer)
    more = f"more-{line_of(ordered, part).pk}"
    assert f'name="{more}"' in answer.content.decode()
    log(bench_client, ordered, part, "7", **{more: "on"})
    assert on_hand(part) == 7


@pytest.mark.parametrize(
    ("many", "why"), [("", "whole number"), ("two", "whole number"), ("99999999", "too many")]
)
def test_what_is_no_number_is_said_beside_the_field(
    bench_client: Client, ordered: Purchase, part: Part, many: str, why: str
) -> None:
    answer = log(bench_client, ordered, part, many)
    assert answer.status_code == 422
    assert why in words(answer)


def test_wire_is_typed_in_metres(bench_client: Client, owner: User, now: datetime) -> None:
    wire = make_part(owner, now, kind="wire")
    Part.objects.filter(pk=wire.pk).update(counted="mm")
    made = make_ordered(owner, now, (wire, 20_000))
    log(bench_client, made, wire, "12.5")
    assert on_hand(wire) == 12_500


def test_owner_drafts_fills_and_orders(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    supplier = make_supplier(owner, now, "Fenwick Electronics")
    tap(owner_client, "/stores/orders/new/", supplier=supplier.pk, token=uuid4())
    made = Purchase.objects.get()
    address = f"/stores/orders/{made}/"
    tap(owner_client, f"{address}line/", part=part.pk, quantity="4", cost="4.10")
    line = line_of(made, part)
    assert (line.quantity, line.cost_minor) == (4, 410)
    changed = {f"many-{line.pk}": "6", f"cost-{line.pk}": "4.00"}
    assert "£24.00" in words(tap(owner_client, f"{address}lines/", **changed))
    text = words(owner_client.get(f"{address}text/"))
    assert "6 × speaker, 28 mm (£4.00 each)" in text
    assert "Order PO-2026-001 from Larkhill Works" in text
    answer = tap(owner_client, f"{address}order/", expected_on="2026-12-04", supplier_ref="F 9")
    assert "expected Fri 4 Dec" in words(answer)
    made.refresh_from_db()
    assert (made.state, made.supplier_ref) == ("ordered", "F 9")


def test_line_that_is_wrong_keeps_what_was_typed(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    made = make_draft(owner, now)
    answer = tap(
        owner_client, f"/stores/orders/{made}/line/", part=part.pk, quantity="4", cost="a few"
    )
    assert answer.status_code == 422
    assert "Write a sum such as 12.50." in words(answer)
    assert 'value="a few"' in answer.content.decode()


def test_late_order_is_flagged(bench_client: Client, owner: User, now: datetime) -> None:
    bought = Bought(owner, now)
    page = words(bench_client.get("/stores/orders/"))
    assert "late by" in page
    assert "3 × " + bought.part.name in page


def test_one_tap_drafts_what_is_advised_and_a_second_drafts_no_more(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    supplier, token = make_supplier(owner, now), uuid4()
    for _ in range(2):
        tap(
            owner_client, "/stores/reorder/draft/", supplier=supplier.pk, token=token,
            want=[f"{part.pk}:7"],
        )  # fmt: skip
    assert line_of(Purchase.objects.get(), part).quantity == 7


def test_advice_that_was_bent_on_its_way_drafts_nothing(
    owner_client: Client, owner: User, now: datetime
) -> None:
    supplier = make_supplier(owner, now)
    answer = tap(
        owner_client, "/stores/reorder/draft/", supplier=supplier.pk, token=uuid4(),
        want=["x:y", "99:", "1:99999999999999"],
    )  # fmt: skip
    assert "Nothing was drafted" in words(answer)
    assert not Purchase.objects.exists()


@pytest.mark.parametrize(("percent", "kept"), [("98", 98), ("100", 95), ("49", 95), ("x", 95)])
def test_safety_is_from_50_to_99(owner_client: Client, percent: str, kept: int) -> None:
    tap(owner_client, "/stores/reorder/service/", service_percent=percent)
    assert House.objects.get().service_percent == kept


def test_owner_writes_a_supplier_down_once(owner_client: Client) -> None:
    fields = {
        "name": "Fenwick Electronics", "email": "", "web": "fenwick.example", "lead_days": "9",
        "lead_spread_days": "2", "note": "", "token": uuid4(),
    }  # fmt: skip
    for _ in range(2):
        assert tap(owner_client, "/stores/suppliers/new/", **fields).status_code == 200
    assert Supplier.objects.get().web == "https://fenwick.example"
    answer = tap(owner_client, "/stores/suppliers/new/", **{**fields, "token": uuid4()})
    assert answer.status_code == 422
    assert "of that name already" in words(answer)


def test_bench_claims_for_a_dead_part_and_settles_it(
    bench_client: Client, owner: User, now: datetime
) -> None:
    part, supplier = make_part(owner, now, 3), make_supplier(owner, now)
    fields = {"part": part.pk, "quantity": "1", "supplier": supplier.pk, "serial": "77"}
    answer = tap(bench_client, "/stores/claims/new/", **fields, fault="", token=uuid4())
    assert answer.status_code == 422
    assert 'value="77"' in answer.content.decode()
    tap(bench_client, "/stores/claims/new/", **fields, fault="hums", token=uuid4())
    claim = Claim.objects.get()
    assert on_hand(part) == 2
    for to, seen in (("sent", "open"), ("replaced", "sent")):
        move = {"to": to, "seen": seen, "token": uuid4()}
        tap(bench_client, f"/stores/claims/{claim.pk}/move/", **move)
    assert on_hand(part) == 3
    assert "replaced" in words(bench_client.get(f"/stores/claims/{claim.pk}/"))


def test_line_taken_off_by_a_double_tap_is_no_lost_page(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    made = make_draft(owner, now, (part, 1))
    address = f"/stores/orders/{made}/lines/{line_of(made, part).pk}/drop/"
    assert [owner_client.post(address).status_code for _tap in range(2)] == [303, 303]
    assert not made.lines.exists()


def test_ticked_line_of_which_none_came_is_refused_beside_its_field(
    bench_client: Client, ordered: Purchase, part: Part
) -> None:
    answer = log(bench_client, ordered, part, "0", note="empty box")
    assert answer.status_code == 422
    assert "Type 1 or more." in words(answer)
    assert "empty box" in answer.content.decode()


@pytest.mark.parametrize("asked", ["x", "-1", "²", "9" * 30, "9" * 5000])
def test_claim_for_a_part_that_is_none_asks_which(bench_client: Client, asked: str) -> None:
    assert bench_client.get("/stores/claims/new/", {"part": asked}).status_code == 200


def test_part_that_a_build_lacks_is_carried_to_a_new_order(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    asked = f"/stores/orders/new/?part={part.pk}&quantity=3"
    page = owner_client.get(asked)
    assert "speaker, 28 mm" in words(page)
    assert "/stores/suppliers/new/?next=/stores/orders/new/" in page.content.decode()
    supplier = make_supplier(owner, now)
    fields = {name: hidden(page.content.decode(), name) for name in ("token", "part", "quantity")}
    tap(owner_client, asked, supplier=supplier.pk, **fields)
    assert [(one.part, one.quantity) for one in Purchase.objects.get().lines.all()] == [(part, 3)]


def test_supplier_written_down_on_the_way_leads_back(owner_client: Client, part: Part) -> None:
    back = f"/stores/orders/new/?part={part.pk}"
    new = "/stores/suppliers/new/"
    page = owner_client.get(new)
    fields = {
        "token": hidden(page.content.decode(), "token"),
        "name": "Wren Metals",
        "lead_days": 5,
        "lead_spread_days": 2,
    }
    answer = owner_client.post(f"{new}?next={back}", fields)
    assert answer.status_code == 303, words(answer)
    assert answer.url == back


def test_letter_asks_for_what_has_not_come_and_is_first_where_it_is_late(
    owner_client: Client, bench_client: Client, part: Part, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, name="cell holder")
    ordered = make_ordered(owner, now, (part, 5), (cell, 2))
    page, where = f"/stores/orders/{ordered.number}/", f"/stores/orders/{ordered.number}/where/"
    deliver(ordered, owner, now, (part, 3), (cell, 2))
    shown = owner_client.get(page).content.decode()
    assert f'class="button go" href="{where}"' in shown
    letter = owner_client.get(where)
    said = words(letter)
    assert "Where is order" in said
    assert f"{ordered} (ordered on 25 November 2026, expected on 4 December 2026)" in said
    assert "2 × speaker, 28 mm, of 5" in said
    assert "cell holder" not in said
    assert "mailto:sales@fenwick.example?subject=Where%20is" in letter.content.decode()
    assert bench_client.get(where).status_code == 403


def test_letter_that_asks_after_nothing_is_not_shown(
    owner_client: Client, part: Part, owner: User, now: datetime
) -> None:
    draft = make_draft(owner, now, (part, 5))
    shown = owner_client.get(f"/stores/orders/{draft.number}/where/", follow=True)
    assert "Nothing of it is awaited." in words(shown)
