"""The page of a parcel: cells, class, ways out, marks, the carrier's own rules."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.dispatch import actions as dispatch
from builds.dispatch import limit_words
from builds.dispatch.models import CarrierRule, Parcel
from builds.dispatch.queries import parcels
from builds.dispatch.queries.slips import slips_of
from builds.dispatch.queries.without import cells_to_buy
from builds.dispatch.states import RULE_CODES, Stowage
from builds.engineering import lithium
from builds.engineering.lithium.sentences import TEMPLATES
from builds.gates.actions import GateClosed, leave
from builds.models import Build
from builds.progress.states import State
from shop.history import words
from shop.models import Entry, User
from tests.dispatch.test_classing import by_air, hilt, packed, say
from tests.fitting.making import said
from tests.makers import check_cell, make_service

pytestmark = pytest.mark.django_db


def page(client: Client, parcel: Parcel) -> str:
    """What the page of a parcel says."""
    return said(client.get(reverse("dispatch_parcel", args=[parcel.pk])))


def answered(build: Build, **changes: str) -> dict[str, str]:
    """The form of a hilt, filled in."""
    name = f"build-{build.pk}"
    fields = {
        "stowage": "installed", "terminals": "holder", "unit": "cell", "test_summary": "yes",
        "seen": "", **changes,
    }  # fmt: skip
    return {f"{name}-{field}": value for field, value in fields.items()}


def test_bench_hand_says_how_a_cell_travels_and_reads_the_verdict(
    owner: User, bench_client: Client, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    assert "Say where the cell of" in page(bench_client, parcel)
    to = reverse("dispatch_parcel_cell", args=[parcel.pk, f"build-{build.pk}"])
    assert bench_client.post(to, answered(build)).status_code == 303
    assert "May go by road" in page(bench_client, parcel)


def test_ends_that_nobody_made_safe_come_back_with_all_that_was_typed(
    owner: User, owner_client: Client, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    to = reverse("dispatch_parcel_cell", args=[parcel.pk, f"build-{build.pk}"])
    answer = owner_client.post(to, answered(build, terminals="", charge_percent="77"))
    assert answer.status_code == 422
    assert "Say how its ends are safe" in said(answer)
    assert b'value="77"' in answer.content
    assert not parcel.stowed.exists()


def test_other_tablets_answer_is_not_overwritten(
    owner: User, owner_client: Client, bench_hand: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, bench_hand, now)
    to = reverse("dispatch_parcel_cell", args=[parcel.pk, f"build-{build.pk}"])
    owner_client.post(to, answered(build, stowage="left-out", terminals=""))
    assert "Jory said otherwise meanwhile" in page(owner_client, parcel)
    assert parcel.stowed.get().stowage == "installed"


def test_one_tap_leaves_without_a_cell(owner: User, owner_client: Client, now: datetime) -> None:
    parcel, build = by_air(owner, now, charge_percent=60)
    shown = page(owner_client, parcel)
    assert shown.index("Leaves without a cell") < shown.index("The cell is in the hilt")
    to = reverse("dispatch_parcel_mend", args=[parcel.pk])
    owner_client.post(to, {"name": f"without-build-{build.pk}"})
    assert "No lithium in it: it may go" in page(owner_client, parcel)
    assert list(cells_to_buy([build.pk]).values()) == [[build.parts.get().name]]


def test_way_out_that_is_none_any_more_is_not_taken(
    owner: User, owner_client: Client, now: datetime
) -> None:
    parcel, _build = by_air(owner, now, charge_percent=20)
    to = reverse("dispatch_parcel_mend", args=[parcel.pk])
    owner_client.post(to, {"name": "charge"})
    assert "no way out any more" in page(owner_client, parcel)


def test_marks_are_printed_of_what_may_go_alone(
    owner: User, owner_client: Client, now: datetime
) -> None:
    parcel, build = by_air(owner, now, charge_percent=20)
    to = reverse("dispatch_parcel_marks", args=[parcel.pk, "full"])
    assert owner_client.get(to).headers["Content-Type"] == "application/pdf"
    say(parcel, build, owner, now, stowage="packed-with", terminals="caps", charge_percent=60)
    assert owner_client.get(to).status_code == 404


def test_parcel_that_is_refused_does_not_leave(owner: User, now: datetime) -> None:
    parcel, _build = by_air(owner, now, charge_percent=60)
    with pytest.raises(GateClosed, match="A charge of 60 % is above 30 %"):
        leave(parcel.pk, by=owner, now=now)
    parcel.refresh_from_db()
    assert (parcel.left_at, parcel.classed) == (None, None)


def test_page_shows_what_was_said_as_it_left(
    owner: User, owner_client: Client, now: datetime
) -> None:
    parcel, build = by_air(owner, now, charge_percent=20)
    dispatch.mark_left(parcel.pk, owner, now)
    check_cell(build, owner, now, "aside")  # since: it changes nothing of what was said
    shown = page(owner_client, parcel)
    assert "As it left" in shown
    assert "May go by air" in shown
    assert "PI 966 II" in shown
    assert "Keep the" not in shown


def test_owner_keeps_a_carriers_rule_and_withdraws_it(
    owner: User, owner_client: Client, now: datetime
) -> None:
    parcel, _build = by_air(owner, now, charge_percent=35)
    to = reverse("dispatch_rules", args=[parcel.service_id])
    typed = {
        "code": "air-charged", "words": "Up to 40 % for this account.", "source": "letter",
        "written_on": "2026-11-02", "token": str(uuid4()),
    }  # fmt: skip
    for _twice in range(2):
        assert owner_client.post(to, typed).status_code == 303
    assert "own rule of 2 November 2026" in page(owner_client, parcel)
    assert "Up to 40 % for this account." in page(owner_client, parcel)
    assert "It answers: A charge of 35 % is above 30 %. Read whether" in page(owner_client, parcel)
    rule = CarrierRule.objects.get()
    owner_client.post(reverse("dispatch_rule_withdraw", args=[rule.pk]))
    assert "withdrawn" in said(owner_client.get(to))
    assert "Refused by air" in page(owner_client, parcel)


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"code": "damaged"}, "No carrier’s word answers a damaged cell"),
        ({"valid_until": "2026-11-01"}, "It ends before it was written."),
        ({"words": ""}, "Fill this in"),
    ],
)
def test_rule_that_cannot_be_comes_back(
    wrong: dict[str, str], why: str, owner: User, owner_client: Client
) -> None:
    service = make_service("air")
    typed = {
        "code": "air-charged", "words": "Up to 40 %.", "source": "letter, 2 November",
        "written_on": "2026-11-02", "token": str(uuid4()), **wrong,
    }  # fmt: skip
    answer = owner_client.post(reverse("dispatch_rules", args=[service.pk]), typed)
    assert answer.status_code == 422
    assert b"letter, 2 November" in answer.content
    assert why in said(answer) or b"required" in answer.content
    assert not CarrierRule.objects.exists()


def test_bench_hand_reads_no_rules(bench_client: Client, owner: User) -> None:
    to = reverse("dispatch_rules", args=[make_service("air").pk])
    assert bench_client.get(to).status_code == 403


def test_stranger_says_nothing_of_a_parcel(stranger: Client, owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    to = reverse("dispatch_parcel_cell", args=[parcel.pk, f"build-{build.pk}"])
    assert stranger.post(to, answered(build)).status_code == 303
    assert not parcel.stowed.exists()
    assert build.state == State.DISPATCH


def test_every_limit_and_every_reason_that_a_carrier_may_answer_has_words() -> None:
    assert limit_words.LIMITS.keys() == lithium.LIMITS.keys()
    assert words.CARRIERS_RULES == RULE_CODES
    assert {str(code) for code in RULE_CODES} <= TEMPLATES.keys()
    assert {word.value: word.label for word in Stowage} == words.STOWAGES


def test_customer_reads_which_cell_to_buy(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    assert cells_to_buy([build.pk]) == {}
    say(parcel, build, owner, now, stowage="left-out", terminals="")
    (slip,) = slips_of(parcels().filter(pk=parcel.pk))
    assert build.parts.get().name in slip.inside[0].wake
    dispatch.open_parcel(parcel.pk, owner, now)
    assert cells_to_buy([build.pk]) == {}


def test_parcel_is_taken_for_used_until_somebody_says_it_is_new(
    owner: User, bench_client: Client, now: datetime
) -> None:
    parcel = packed([hilt(owner, now)], owner, now)
    to = reverse("dispatch_parcel_used", args=[parcel.pk])
    for word in ("no", "no"):  # a double tap says it once
        assert bench_client.post(to, {"used": word}).status_code == 303
    assert Parcel.objects.get().is_unused
    assert "nothing in it was used or repaired before" in page(bench_client, parcel)
    assert Entry.objects.filter(verb="said_unused", about=parcel.about).count() == 1
    bench_client.post(to, {"used": "yes"})
    assert not Parcel.objects.get().is_unused
    bench_client.post(to, {"used": "perhaps"})
    assert not Parcel.objects.get().is_unused
