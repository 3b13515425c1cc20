"""The pages of returns: who may do what, where returns are found, what is told to customers."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.handover.actions.returns import Facts, announce, make_build
from builds.handover.models import Return
from builds.models import Build
from builds.progress.states import State
from shop.models import House, Message, User
from tests.handover.making import announced, covered, left
from tests.makers import make_arrival, make_tray
from tests.makers import make_build as make

pytestmark = pytest.mark.django_db
VERDICT = {"covered": "covered", "because": "the switch broke", "pays": "both", "seen": ""}


@pytest.fixture
def sent(owner: User, now: datetime) -> Build:
    return left(make(owner, now, State.DISPATCH, tray=make_tray()), now)


@pytest.fixture
def found(sent: Build, now: datetime) -> Return:
    return announced(sent, now)


def page(client: Client, name: str, *args: object, **asked: str) -> str:
    """A page without the blanks of its source."""
    answer = client.get(reverse(name, args=args), asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def post(client: Client, name: str, found: Return, **fields: Any) -> int:
    return int(client.post(reverse(name, args=[found.number]), fields).status_code)


def test_bench_notes_what_a_customer_says_by_telephone(bench_client: Client, sent: Build) -> None:
    said = {"words": "dead", "cell": "fine", "how": "telephone", "token": str(uuid4())}
    address = reverse("handover_return_new", args=[sent.number])
    for _tap in range(2):
        assert bench_client.post(address, said).status_code == 303
    made = Return.objects.get()
    assert (made.how, str(made.noted_by)) == ("telephone", str(made.noted_by))
    assert made.noted_by


def test_what_is_missing_is_said_beside_its_field(bench_client: Client, sent: Build) -> None:
    address = reverse("handover_return_new", args=[sent.number])
    answer = bench_client.post(address, {"words": "dead", "token": str(uuid4())})
    assert answer.status_code == 422
    assert "Ask how the cell is" in answer.content.decode()
    assert "dead</textarea>" in answer.content.decode()


def test_owner_decides_and_bench_does_not(
    owner_client: Client, bench_client: Client, found: Return
) -> None:
    assert post(bench_client, "handover_return_decide", found, **VERDICT) == 403
    assert post(owner_client, "handover_return_decide", found, **VERDICT) == 303
    found.refresh_from_db()
    assert found.covered == "covered"


def test_decision_without_a_reason_comes_back(owner_client: Client, found: Return) -> None:
    answer = owner_client.post(
        reverse("handover_return_decide", args=[found.number]), {**VERDICT, "because": " "}
    )
    assert answer.status_code == 422
    assert "the customer reads it" in answer.content.decode()


def test_bench_makes_a_build_of_it(bench_client: Client, found: Return) -> None:
    assert post(bench_client, "handover_return_book", found) == 303
    found.refresh_from_db()
    assert found.became
    sheet = page(bench_client, "bench_sheet", found.became.number)
    assert "return R0001</a> of build" in sheet
    assert "Not decided yet whether the warranty covers it." in sheet


def test_it_comes_to_nothing_with_a_reason(bench_client: Client, found: Return) -> None:
    assert post(bench_client, "handover_return_nothing", found, why="") == 422
    assert post(bench_client, "handover_return_nothing", found, why="a flat battery") == 303
    assert "a flat battery" in page(bench_client, "handover_returns", show="settled")
    assert post(bench_client, "handover_return_again", found) == 303


def test_decision_is_told_by_the_owner_once(
    owner_client: Client, bench_client: Client, found: Return, owner: User, now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr("builds.handover.actions.telling.mail_goes_nowhere", lambda: False)
    covered(found, owner, now)
    tell = reverse("handover_return_tell", args=[found.number])
    assert bench_client.get(tell).status_code == 403
    form = owner_client.get(tell).context["form"]
    assert "you pay nothing for the work" in form.initial["body"]
    said = {name: str(form.initial[name]) for name in ("token", "subject", "body")}
    for _tap in range(2):
        assert owner_client.post(tell, said).status_code == 303
    assert Message.objects.get(occasion="return_decided").to == "Wren@example.com"


def test_placeholder_that_stands_for_nothing_is_refused(
    owner_client: Client, found: Return, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.handover.actions.telling.mail_goes_nowhere", lambda: False)
    tell = reverse("handover_return_tell", args=[found.number])
    said = {"token": str(uuid4()), "subject": "Osier", "body": "It ships on $day."}
    answer = owner_client.post(tell, said)
    assert answer.status_code == 422
    assert "Nothing is known for $day" in answer.content.decode()


def test_without_a_mail_server_the_words_are_there_to_read(
    owner_client: Client, found: Return
) -> None:
    told = page(owner_client, "handover_return_tell", found.number)
    assert "This cannot leave by mail" in told
    assert "Write R0001" not in told  # the shop has no address yet
    assert "R0001" in told


def test_today_puts_a_harmed_cell_first(
    bench_client: Client, found: Return, owner: User, now: datetime
) -> None:
    other = left(make(owner, now, State.DISPATCH, tray=make_tray()), now)
    announce(other, Facts("hot", "harmed"), token=uuid4(), by=None, now=now)
    shown = page(bench_client, "bench_today")
    assert shown.index("R0002") < shown.index("R0001")
    assert "its cell is damaged: call Wren" in shown


def test_harmed_cell_stands_before_all_else_on_today(
    bench_client: Client, sent: Build, owner: User, now: datetime
) -> None:
    make_arrival(owner, now)
    announce(sent, Facts("hot", "harmed"), token=uuid4(), by=None, now=now)
    shown = page(bench_client, "bench_today")
    assert shown.index("R0001") < shown.index("A parcel that nobody has placed")


@pytest.mark.parametrize("cell", ["fine", "harmed"])
def test_decided_return_stays_on_today_until_it_was_told(
    bench_client: Client, owner_client: Client, sent: Build, owner: User, now: datetime, cell: str
) -> None:
    found = announce(sent, Facts("dead", cell), token=uuid4(), by=None, now=now)
    covered(found, owner, now)
    shown = page(bench_client, "bench_today")
    assert "R0001" in shown
    assert "Tell them" in shown
    assert note(owner_client, found) == 303
    assert "R0001" not in page(bench_client, "bench_today")


def note(client: Client, found: Return) -> int:
    """What was said is noted as the page offers it; its answer."""
    tell = reverse("handover_return_tell", args=[found.number])
    form = client.get(tell).context["said_form"]
    said = {name: str(form.initial[name]) for name in ("token", "words")}
    said |= {"how": "telephone", "said_at": "2026-01-05 10:00"}
    return int(client.post(reverse("handover_return_said", args=[found.number]), said).status_code)


@pytest.mark.parametrize("typed", ["R0001", "r1"])
def test_number_on_the_box_is_found(typed: str, bench_client: Client, found: Return) -> None:
    assert f'href="{reverse("handover_return", args=[1])}"' in page(
        bench_client, "desk_find", q=typed
    )


def test_intake_lists_what_is_announced_and_the_box_is_matched_to_it(
    bench_client: Client, found: Return, owner: User, now: datetime
) -> None:
    assert "R0001" in page(bench_client, "bench_intake")
    arrival = make_arrival(owner, now)
    assert "R0001" in page(bench_client, "bench_arrival", arrival.pk)
    make_build(found.pk, by=owner, now=now)
    assert "R0001</option>" in page(bench_client, "bench_arrival", arrival.pk)


def test_harmed_cell_is_said_on_its_page(bench_client: Client, sent: Build, now: datetime) -> None:
    made = announce(sent, Facts("hot", "harmed"), token=uuid4(), by=None, now=now)
    assert "Its cell is damaged: call Wren" in page(bench_client, "handover_return", made.number)


def test_owner_sets_the_warranty(owner_client: Client, house: House) -> None:
    address = reverse("desk_warranty")
    said = {"warranty_days": "365", "repair_days": "45", "renewed_days": "30",
            "warranty_words": "Ours to mend."}  # fmt: skip
    assert owner_client.post(address, {**said, "repair_days": "-1"}).status_code == 422
    assert owner_client.post(address, said).status_code == 303
    house.refresh_from_db()
    assert (house.warranty_days, house.repair_days, house.renewed_days) == (365, 45, 30)


def test_words_to_copy_hold_the_link_itself_and_the_note_of_them_does_not(
    owner_client: Client, found: Return, house: House, owner: User, now: datetime
) -> None:
    house.public_url = "https://bench.example"
    house.save()
    covered(found, owner, now)
    shown = page(owner_client, "handover_return_tell", found.number)
    assert "https://bench.example/your/hilt/" in shown
    assert "$link" not in shown
    assert 'href="sms:' in shown
    assert 'href="mailto:' in shown
    assert note(owner_client, found) == 303
    assert "$link" in Message.objects.get(occasion="return_decided").body
    assert "was told." in page(owner_client, "handover_return", found.number)


def test_bench_does_not_note_what_the_owner_decided(
    bench_client: Client, found: Return, owner: User, now: datetime
) -> None:
    covered(found, owner, now)
    said = {"token": str(uuid4()), "words": "covered", "how": "telephone"}
    assert post(bench_client, "handover_return_said", found, **said) == 403


def test_note_without_words_comes_back(owner_client: Client, found: Return) -> None:
    assert post(owner_client, "handover_return_said", found, token=str(uuid4())) == 422


def test_mail_that_was_laid_down_is_not_called_left(
    owner_client: Client, found: Return, now: datetime
) -> None:
    Message.objects.create(
        key="noted", occasion="return_noted", about=found.build.about, to="wren@example.com",
        customer=found.build.item.order.customer, subject="It is noted", body="Hello",
        state="sent", made_at=now, not_before=now, done_at=now,
    )  # fmt: skip
    shown = page(owner_client, "handover_return", found.number)
    assert "not mailed: no mail server is set" in shown
    assert ", left<" not in shown


def test_what_the_shop_agrees_is_not_written_as_the_customers_yes(
    owner_client: Client, bench_client: Client, found: Return, owner: User, now: datetime
) -> None:
    covered(found, owner, now)
    made = make_build(found.pk, by=owner, now=now)
    for client in (owner_client, bench_client):
        shown = page(client, "bench_sheet", made.number).partition('id="answers"')[2]
        shown = shown.partition("</section>")[0]
        assert "the shop’s own word" in shown
        assert "on the customer" not in shown
    assert "decided about R0001" in page(owner_client, "bench_sheet", made.number)
