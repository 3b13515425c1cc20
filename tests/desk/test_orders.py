"""Orders: booked once, shown to those who may see them."""

from datetime import date, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.hilts.models import Hilt
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.queue.models import Promise
from builds.queue.queries import odds_of_new
from shop.models import Answer, Customer, Item, Order, PrivateLink, User
from tests.bench.pages import words
from tests.desk.conftest import Booker, build_on
from tests.queue.past import make_past

NEW = "/orders/new/"


def form(**more: Any) -> dict[str, Any]:
    """A new order for someone new, as the page sends it."""
    return {
        "token": str(uuid4()),
        "who": "",
        "customer": "new",
        "new-called": "Teodor",
        "new-full_name": "Teodor Vance",
        "new-email": "teodor@example.com",
        "new-phone": "01632 960 220",
        "new-address": "2 Mill Lane",
        "new-country": "GB",
        "hilt_name": "Saltmarsh No. 3",
        "kind": "full",
        "wanted": "Blue, two switches",
        "leaves_by": "post",
        "needed_by": "2026-12-20",
        "promise_day": "2026-12-14",
        "price_note": "450 in all, half now",
        "agreed_how": "telephone",
        **more,
    }


def test_a_new_order_books_customer_hilt_and_build_in_one_go(owner_client: Client) -> None:
    answer = owner_client.post(NEW, form())
    order = Order.objects.get()
    assert (answer.status_code, answer["Location"]) == (303, f"/orders/{order.number}/")
    build = build_on(order)
    assert (order.customer.called, order.customer.country) == ("Teodor", "GB")
    assert (str(build.hilt), build.kind) == ("Saltmarsh No. 3", Kind.FULL)
    assert Promise.objects.get().day == date(2026, 12, 14)


@pytest.mark.django_db(transaction=True)
def test_odds_of_the_day_are_worked_out_before_the_order_is_written(
    owner_client: Client, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shop.clock.now", lambda: now)
    monkeypatch.setattr("builds.desk.views.orders.now", lambda: now)
    make_past(12, owner, now)
    locks = []

    def looked_at(*given: Any) -> float | None:
        locks.append(connection.in_atomic_block)
        return odds_of_new(*given)

    monkeypatch.setattr("builds.desk.actions.orders.odds_of_new", looked_at)
    assert owner_client.post(NEW, form(promise_day="2027-01-15")).status_code == 303
    odds = Promise.objects.get().odds
    assert locks == [False]
    assert odds is not None
    assert 0.5 < odds <= 1


def test_the_yes_is_kept_with_what_is_wanted_and_the_price(owner_client: Client) -> None:
    owner_client.post(NEW, form())
    answer = Answer.objects.get()
    assert answer.text == "Blue, two switches\n\n450 in all, half now"
    assert (answer.kind, answer.is_yes, answer.how) == ("agreed", True, "telephone")


def test_no_yes_is_kept_where_none_was_given(owner_client: Client) -> None:
    owner_client.post(NEW, form(agreed_how="no"))
    assert not Answer.objects.exists()


def test_a_double_tap_is_one_order(owner_client: Client) -> None:
    sent = form()
    first, second = owner_client.post(NEW, sent), owner_client.post(NEW, sent)
    assert first["Location"] == second["Location"]
    assert (Order.objects.count(), Customer.objects.count(), Build.objects.count()) == (1, 1, 1)


def test_errors_stand_beside_their_fields_and_nothing_typed_is_lost(owner_client: Client) -> None:
    answer = owner_client.post(NEW, form(wanted="", promise_day="never", hilt_name=""))
    page = answer.content.decode()
    assert answer.status_code == 422
    for said in ("even if only in a few words", "That is not a day", "Give it a name"):
        assert said in page
    for kept in ("Teodor Vance", "450 in all, half now", "2 Mill Lane", 'value="never"'):
        assert kept in page
    assert not Customer.objects.exists()


def test_a_day_on_which_nothing_leaves_cannot_be_promised(owner_client: Client) -> None:
    answer = owner_client.post(NEW, form(promise_day="2026-12-15"))
    assert answer.status_code == 422
    assert "Nothing leaves that day" in answer.content.decode()
    assert not Order.objects.exists()


def test_a_blade_alone_has_no_hilt(owner_client: Client) -> None:
    refused = owner_client.post(NEW, form(kind="blade"))
    assert "A blade alone has no hilt" in refused.content.decode()
    owner_client.post(NEW, form(kind="blade", hilt_name=""))
    assert Build.objects.get().hilt is None


def test_looking_for_a_customer_judges_nothing_and_keeps_what_was_typed(
    owner_client: Client, maud: Customer
) -> None:
    sent = form(who="fer", look="1", wanted="", hilt_name="Weir House")
    sent["new-called"] = ""
    answer = owner_client.post(NEW, sent)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "maud.ferris@example.com" in page
    assert "Weir House" in page
    assert "How do you greet them" not in page


def test_an_order_for_a_known_customer_may_take_a_known_hilt(
    owner_client: Client, maud: Customer, booked: Booker
) -> None:
    booked("Copperfen")
    hilt = Hilt.objects.get()
    sent = form(customer=maud.pk, hilt=hilt.pk, hilt_name="", kind="repair")
    assert owner_client.post(NEW, sent).status_code == 303
    assert hilt.builds.count() == 2
    assert Customer.objects.count() == 1


def test_another_customers_hilt_cannot_be_taken(
    owner_client: Client, maud: Customer, booked: Booker, owner: User, now: datetime
) -> None:
    other = Customer.objects.create(called="Abel", full_name="Abel", since=now)
    booked("Copperfen")
    sent = form(customer=other.pk, hilt=Hilt.objects.get().pk, hilt_name="")
    assert owner_client.post(NEW, sent).status_code == 422


def test_a_known_address_is_not_written_down_twice(owner_client: Client, maud: Customer) -> None:
    answer = owner_client.post(NEW, form(**{"new-email": "Maud.Ferris@example.com"}))
    assert answer.status_code == 422
    assert "Maud has this address already" in answer.content.decode()


def test_bench_hand_books_without_a_price(bench_client: Client) -> None:
    assert "price_note" not in bench_client.get(NEW).content.decode()
    bench_client.post(NEW, form())
    assert Order.objects.get().price_note == ""


def test_bench_hand_sees_the_order_and_no_money(
    bench_client: Client, owner_client: Client, booked: Booker
) -> None:
    order = booked(price_note="450 in all", agreed_how="person")
    link = PrivateLink.objects.get()
    theirs = bench_client.get(f"/orders/{order.number}/").content.decode()
    owners = owner_client.get(f"/orders/{order.number}/").content.decode()
    assert "Ninth Lantern" in theirs
    assert "450 in all" not in theirs
    assert link.id not in theirs
    assert owners.count("450 in all") >= 2
    assert link.id in owners


def test_bench_hand_cannot_change_the_price(bench_client: Client, booked: Booker) -> None:
    order = booked(price_note="450 in all")
    sent = {"needed_by": "2026-12-18", "price_note": "1"}
    bench_client.post(f"/orders/{order.number}/change/", sent)
    order.refresh_from_db()
    assert (order.price_note, order.needed_by) == ("450 in all", date(2026, 12, 18))


def test_owner_changes_the_price_and_the_answer_keeps_its_words(
    owner_client: Client, booked: Booker
) -> None:
    order = booked(price_note="450 in all", agreed_how="person")
    sent = {"needed_by": "", "price_note": "500 in all"}
    owner_client.post(f"/orders/{order.number}/change/", sent)
    order.refresh_from_db()
    assert order.price_note == "500 in all"
    assert "450 in all" in Answer.objects.get().text


def test_an_answer_is_kept_in_its_exact_words_once(owner_client: Client, booked: Booker) -> None:
    order = booked()
    sent = {"item": order.items.get().pk, "kind": "heat", "said": "no", "text": "Not the grip!", "how": "chat"}  # fmt: skip  # noqa: E501
    for _tap in range(2):
        owner_client.post(f"/orders/{order.number}/answer/", sent)
    answer = Answer.objects.get()
    assert (answer.text, answer.is_yes, answer.how) == ("Not the grip!", False, "chat")


def test_silence_is_no_answer(owner_client: Client, booked: Booker) -> None:
    order = booked()
    sent = {"item": order.items.get().pk, "kind": "heat", "text": "Only if you must", "how": "chat"}
    answer = owner_client.post(f"/orders/{order.number}/answer/", sent)
    assert answer.status_code == 422
    assert "Silence is neither" in answer.content.decode()
    assert "Only if you must" in answer.content.decode()
    assert not Answer.objects.exists()


def test_an_answer_about_another_order_is_refused(owner_client: Client, booked: Booker) -> None:
    order, other = booked("Weir House"), booked("Copperfen")
    sent = {"item": other.items.get().pk, "kind": "heat", "said": "yes", "text": "Yes", "how": "chat"}  # fmt: skip  # noqa: E501
    assert owner_client.post(f"/orders/{order.number}/answer/", sent).status_code == 422


def test_another_job_tapped_twice_is_one_job(owner_client: Client, booked: Booker) -> None:
    order = booked()
    sent = form(hilt="other", hilt_name="Weir House", promise_day="", agreed_how="no")
    for _tap in range(2):
        assert owner_client.post(f"/orders/{order.number}/job/", sent).status_code == 303
    assert order.items.count() == 2


def test_goods_tapped_twice_are_one_item(owner_client: Client, booked: Booker) -> None:
    order = booked()
    sent = {"token": str(uuid4()), "wanted": "spare blade, 32 in", "quantity": 2}
    for _tap in range(2):
        owner_client.post(f"/orders/{order.number}/goods/", sent)
    assert Item.objects.get(kind="goods").quantity == 2


def test_owner_renews_and_closes_the_customers_link(owner_client: Client, booked: Booker) -> None:
    order = booked()
    owner_client.post(f"/orders/{order.number}/link/renew/")
    assert PrivateLink.objects.get().version == 2
    owner_client.post(f"/orders/{order.number}/link/revoke/")
    page = owner_client.get(f"/orders/{order.number}/").content.decode()
    assert PrivateLink.objects.get().revoked_at
    assert "the link opens nothing" in page


@pytest.mark.parametrize("deed", ["renew", "revoke"])
def test_bench_hand_cannot_touch_the_link(bench_client: Client, booked: Booker, deed: str) -> None:
    order = booked()
    assert bench_client.post(f"/orders/{order.number}/link/{deed}/").status_code == 403


@pytest.mark.parametrize("path", ["/orders/", NEW, "/customers/", "/customers/new/"])
def test_stranger_is_sent_to_sign_in(stranger: Client, path: str) -> None:
    answer = stranger.get(path)
    assert (answer.status_code, answer["Location"].startswith("/sign-in/")) == (302, True)


def test_open_orders_come_first_by_the_day_they_are_needed(
    owner_client: Client, booked: Booker
) -> None:
    late = booked("Late", needed_by=date(2026, 12, 30))
    ended = booked("Ended", needed_by=date(2026, 11, 26))
    soon = booked("Soon", needed_by=date(2026, 12, 1))
    Build.objects.filter(item__order=ended).update(state="sent")
    page = owner_client.get("/orders/").content.decode()
    places = [page.index(f"/orders/{order.number}/") for order in (soon, late, ended)]
    assert places == sorted(places)


def test_orders_that_are_done_follow_the_newest_first_over_the_pages(
    owner_client: Client, booked: Booker
) -> None:
    still = [booked(f"Open {nth}").number for nth in range(3)]
    done = [booked(f"Done {nth}") for nth in range(49)]
    Build.objects.filter(item__order__in=done).update(state="sent")
    seen = []
    for nth in (1, 2, 3):
        page = owner_client.get("/orders/", {"page": nth})
        seen.append([order.number for order in page.context["page_obj"].object_list])
    assert [len(rows) for rows in seen] == [25, 25, 2]
    found = [number for rows in seen for number in rows]
    assert (set(found[:3]), len(set(found))) == (set(still), 52)
    assert found[3:] == [order.number for order in reversed(done)]


@pytest.mark.parametrize("begins", ["2026-0", "mau", "FERR", "maud.f"])
def test_orders_are_found_by_the_beginning_of_number_or_name(
    owner_client: Client, booked: Booker, begins: str
) -> None:
    order = booked()
    page = owner_client.get("/orders/", {"begins": begins}).content.decode()
    assert f"/orders/{order.number}/" in page


def test_the_middle_of_a_name_finds_no_order(owner_client: Client, booked: Booker) -> None:
    order = booked()
    page = owner_client.get("/orders/", {"begins": "erris"}).content.decode()
    assert f"/orders/{order.number}/" not in page
    assert "No order for" in page


def test_the_list_of_orders_asks_as_much_for_many_as_for_few(
    owner_client: Client, booked: Booker
) -> None:
    booked("First")
    with CaptureQueriesContext(
        connection,
    ) as few:
        owner_client.get("/orders/")
    for nth in range(12):
        booked(f"Hilt {nth}")
    with CaptureQueriesContext(connection) as many:
        owner_client.get("/orders/")
    assert len(many) == len(few)


def test_an_order_that_is_not_there_is_not_found(owner_client: Client) -> None:
    assert owner_client.get("/orders/2026-999/").status_code == 404


def test_htmx_gets_the_hilts_of_the_customer_chosen(
    owner_client: Client, maud: Customer, booked: Booker
) -> None:
    booked("Copperfen")
    headers = {"HX-Request": "true", "HX-Target": "hilts"}
    part = owner_client.get(NEW, {"customer": maud.pk}, headers=headers).content.decode()
    assert "Copperfen" in part
    assert "<html" not in part


def test_the_browser_asks_for_no_field_that_a_known_customer_hides(owner_client: Client) -> None:
    page = owner_client.get(NEW).content.decode()
    field = page.split('id="id_new-called"')[0].rsplit("<input", 1)[1]
    assert "required" not in field


def test_a_known_customer_is_not_asked_how_to_be_greeted(
    owner_client: Client, maud: Customer
) -> None:
    sent = form(customer=maud.pk, hilt_name="", **{"new-called": ""})
    page = owner_client.post(NEW, sent).content.decode()
    assert "Give it a name" in page
    assert "How do you greet them" not in page


@pytest.mark.parametrize("path", ["/orders/?begins=", "/customers/?begins=", "/orders/new/?who="])
@pytest.mark.parametrize("text", ["%00", "%25", "_", "%F4%8F%BF%BF", "\\"])
def test_odd_signs_break_no_list(owner_client: Client, path: str, text: str) -> None:
    assert owner_client.get(path + text).status_code == 200


@pytest.mark.parametrize("number", ["%00", "2026-001%00", "2026%20001", "…"])
def test_an_odd_number_of_an_order_is_not_found(owner_client: Client, number: str) -> None:
    assert owner_client.get(f"/orders/{number}/").status_code == 404


@pytest.mark.parametrize("customer", ["9" * 40, "9" * 5000, "-1", "²", "new", "x"])
def test_a_customer_who_is_not_there_is_someone_new(owner_client: Client, customer: str) -> None:
    assert owner_client.get(NEW, {"customer": customer}).status_code == 200


def test_a_blade_alone_on_a_known_hilt_is_told_where_the_hilt_was_chosen(
    owner_client: Client, maud: Customer, booked: Booker
) -> None:
    booked("Copperfen")
    sent = form(customer=maud.pk, hilt=Hilt.objects.get().pk, hilt_name="", kind="blade")
    page = owner_client.post(NEW, sent).content.decode()
    assert "A blade alone has no hilt" in page.split('id="id_hilt_error"')[1].split("</div>")[0]


def test_the_customers_own_number_is_kept_and_printed(owner_client: Client, booked: Booker) -> None:
    order = booked(reference="PO 4471")
    page = f"/orders/{order.number}/"
    assert "PO 4471" in words(owner_client.get(page))
    owner_client.post(f"{page}change/", {"reference": "PO 4472", "needed_by": "", "price_note": ""})
    order.refresh_from_db()
    assert order.reference == "PO 4472"
    assert "PO 4472" in owner_client.get(f"{page}invoice/").content.decode()


def test_a_cards_number_is_no_reference(bench_client: Client, booked: Booker) -> None:
    page = f"/orders/{booked().number}/"
    reply = bench_client.post(f"{page}change/", {"reference": "4111 1111 1111 1111"})
    assert reply.status_code == 422
    assert "That looks like the number of a card" in words(reply)
    assert Order.objects.get().reference == ""
