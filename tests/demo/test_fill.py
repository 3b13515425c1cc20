"""The demo fills an empty shop by the product's own deeds, alike each time, and writes nobody."""

import re
from collections import Counter
from typing import Any

import pytest
from django.contrib.auth.hashers import check_password
from django.core.management import CommandError, call_command

from builds.demo.fill import fill
from builds.demo.job import Job
from builds.demo.walk import Walk
from builds.progress.states import STAGES, Kind, Leaves, State
from shop.house.models import House
from shop.models import Customer
from shop.post.models import State as Post
from tests.conftest import NOW
from tests.demo.conftest import ADDRESS, Seen, draw

DRAMA_NUMBERS = re.compile(r"01632 960\d{3}|\+1 202-555-01\d\d")


def _row(seen: Seen, name: str) -> Any:
    return next(row for row in seen.rows if row.name == name)


@pytest.mark.parametrize("stage", STAGES)
def test_every_stage_has_a_build(seen: Seen, stage: State) -> None:
    assert stage in {build["state"] for build in seen.builds}


@pytest.mark.parametrize("ending", [State.SENT, State.COLLECTED, State.WITHDRAWN])
def test_some_have_ended(seen: Seen, ending: State) -> None:
    assert ending in {build["state"] for build in seen.builds}


def test_every_kind_of_job_and_both_ways_of_leaving_are_there(seen: Seen) -> None:
    assert {build["kind"] for build in seen.builds} == set(Kind.values)
    assert {build["leaves_by"] for build in seen.builds} == set(Leaves.values)


def test_one_waits_for_the_customers_answer_about_a_stuck_joint(seen: Seen) -> None:
    heron = _row(seen, "Heron two-piece")
    assert [(hold.reason, hold.turn) for hold in heron.holds] == [
        ("stuck", "customer"),
        ("answer", "customer"),
    ]


def test_one_is_late(seen: Seen) -> None:
    assert [row.name for row in seen.rows if row.is_late] == ["Saltmarsh No. 3"]


def test_one_may_not_leave_because_its_cell_was_set_aside(seen: Seen) -> None:
    assert [lack.code for lack in _row(seen, "Greywater").missing] == ["cell-aside", "parcel"]


def test_one_lies_in_a_parcel(seen: Seen) -> None:
    assert [row.name for row in seen.rows if row.parcel] == ["Weir House"]


def test_one_parcel_is_placed_by_nobody(seen: Seen) -> None:
    assert seen.unplaced == 1


def test_today_names_the_customer_who_has_heard_nothing(seen: Seen) -> None:
    unheard = [want for want in seen.wants if "has heard nothing" in want]
    assert len(unheard) == 1
    assert unheard[0].startswith("Harrow Gate")


def test_nothing_is_promised_on_a_day_when_nothing_leaves(seen: Seen) -> None:
    days = [row.due.promised for row in seen.rows if row.due]
    assert days
    assert {day.weekday() for day in days} <= {0, 4}


def test_nothing_happens_after_now(seen: Seen) -> None:
    told = [message["done_at"] for message in seen.messages if message["done_at"]]
    assert max([*told, *seen.moments, *(build["state_since"] for build in seen.builds)]) <= NOW


def test_nothing_waits_to_leave_and_one_mail_failed(seen: Seen) -> None:
    states = Counter(message["state"] for message in seen.messages)
    assert states[Post.QUEUED] == 0
    assert states[Post.FAILED] == 1
    assert states[Post.SENT] > 10
    assert states[Post.RECEIVED] == 1


def test_every_address_and_number_is_reserved_for_examples(seen: Seen) -> None:
    assert len(seen.customers) > 10
    for customer in seen.customers:
        assert customer["email"].endswith(".example")
        assert DRAMA_NUMBERS.fullmatch(customer["phone"])
    assert all(message["to"].endswith(".example") for message in seen.messages if message["to"])


def test_some_photos_are_shared(seen: Seen) -> None:
    assert seen.shared > 10


def test_both_sign_in_with_what_was_printed(seen: Seen) -> None:
    for (email, password), user in zip(seen.filled.sign_ins, seen.staff, strict=True):
        assert user.email == email
        assert check_password(password, user.password)


def test_passwords_differ_from_fill_to_fill(fills: list[Seen]) -> None:
    assert len({password for seen in fills for _, password in seen.filled.sign_ins}) == 4


def test_pages_and_the_private_link_open(seen: Seen) -> None:
    assert set(seen.pages.values()) == {200}


def test_two_fills_at_the_same_moment_are_alike(fills: list[Seen]) -> None:
    first, second = fills
    assert first.builds == second.builds
    assert [_cause(one) for one in first.messages] == [_cause(one) for one in second.messages]


def test_shop_that_is_set_up_is_left_alone(house: House) -> None:
    with pytest.raises(CommandError, match="set up already"):
        call_command("demo")
    assert not Customer.objects.exists()


@pytest.mark.django_db
def test_shop_with_a_mail_server_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("EMAIL_URL", "smtp://192.0.2.25:25")
    with pytest.raises(CommandError, match="EMAIL_URL"):
        call_command("demo")
    assert not House.objects.exists()


@pytest.mark.django_db
def test_fill_that_breaks_off_leaves_the_shop_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    def break_off(walk: Walk, job: Job) -> None:
        raise OSError("no room on the disk")

    monkeypatch.setattr(Walk, "go", break_off)
    with pytest.raises(OSError, match="no room"):
        fill(NOW, ADDRESS, draw)
    assert not House.objects.exists()
    assert not Customer.objects.exists()


def test_every_hilt_past_intake_has_sections_with_all_that_a_fit_asks(seen: Seen) -> None:
    past = {State.TEARDOWN, *STAGES[3:]}
    names = {build["hilt__name"] for build in seen.builds if build["state"] in past}
    for name in names - {None}:
        sections = seen.shapes[name].sections
        assert len(sections) > 2, name
        for each in sections:
            assert {"length", "bore", "outer"} <= each.known.keys(), name
            assert each.known["bore"].value < each.known["outer"].value, name
        assert all(each.joint for each in sections[:-1]), name


def test_one_hilt_is_long_and_one_is_believed_from_a_like_one(seen: Seen) -> None:
    assert max(len(shape.sections) for shape in seen.shapes.values()) >= 7
    like = seen.shapes["Kestrel second"].sections[0].known["bore"]
    assert (like.basis, like.believed_from) == ("believed", "Kestrel first")


def test_one_joint_is_stuck_after_tries_by_hand_and_with_a_solvent(seen: Seen) -> None:
    tries = [each.means for each in seen.apart["Heron two-piece"].attempts]
    assert tries == ["hands", "solvent"]
    sections = seen.shapes["Heron two-piece"].sections
    assert [each.section.name for each in sections if each.joint and each.joint.stuck] == [
        "coupling"
    ]


def _cause(message: dict[str, str]) -> str:
    # A key that holds a row's own number goes on where a fill left off.
    return re.sub(r"^(question[^:]*|quote):\d+", r"\1", message["key"])


def test_books_show_a_deposit_a_refund_invoices_and_an_account(seen: Seen) -> None:
    assert set(seen.money) >= {"deposit", "payment", "refund"}
    assert {"invoice", "receipt"} <= set(seen.papers)
    assert seen.accounts == 1
