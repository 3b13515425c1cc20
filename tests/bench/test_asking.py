"""The bench asks: a change order begun without a figure, consents one by one."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.bench.actions.digest import send_digest
from builds.bench.queries.board import open_rows
from builds.bench.queries.today import wants
from builds.models import Build
from builds.progress import quoting
from builds.progress.states import State
from builds.visitor.actions import answer_consent, answer_quote
from shop.diary.models import Closure
from shop.diary.queries import calendar
from shop.models import House, Message, Quote, User
from shop.orders.actions import LineFacts, draft_quote, quote_seen, save_draft
from shop.orders.models import Asking, LineOf
from tests.makers import answer as say
from tests.makers import make_build

LINE = LineFacts(LineOf.HOURS, "Wiring", 6000, 8000, 4200, 2000)


@pytest.fixture
def build(owner: User, now: datetime, house: House) -> Build:
    return make_build(owner, now, State.TEARDOWN)


def sent(build: Build, by: User, now: datetime, **terms: Any) -> Quote:
    draft = draft_quote(build.item.order, token=uuid4(), by=by, now=now)
    save_draft(draft.pk, [LINE], terms, seen=quote_seen(draft), by=by, now=now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=by, now=now)
    return Quote.objects.get(pk=draft.pk)


def wanted(now: datetime) -> list[str]:
    diary = calendar(House.objects.get())
    return [f"{want.what}: {want.why}" for want in wants(open_rows(diary, now), diary, now)]


def test_the_bench_begins_a_change_and_the_owner_is_asked_to_price_it(
    bench_client: Client, build: Build, now: datetime
) -> None:
    path = f"/build/{build.number}/change/"
    answer = bench_client.post(
        path, {"token": str(uuid4()), "because": "the joint is seized", "minutes": "55"}
    )
    assert (answer.status_code, answer["Location"]) == (303, f"/build/{build.number}/#holds")
    draft = Quote.objects.get()
    assert (draft.because, draft.minutes_so_far) == ("the joint is seized", 55)
    assert "Wren: a change order to be priced and sent" in wanted(now)


def test_the_owner_goes_on_to_the_prices(owner_client: Client, build: Build) -> None:
    answer = owner_client.post(
        f"/build/{build.number}/change/", {"token": str(uuid4()), "because": "seized"}
    )
    assert answer["Location"] == f"/orders/{build.item.order.number}/quote/1/"


def test_without_a_word_nothing_is_begun(bench_client: Client, build: Build) -> None:
    answer = bench_client.post(f"/build/{build.number}/change/", {"token": str(uuid4())})
    assert answer.status_code == 422
    assert "Say what was found" in answer.content.decode()


def test_while_a_quote_waits_no_change_is_begun(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    sent(build, owner, now)
    answer = bench_client.post(
        f"/build/{build.number}/change/", {"token": str(uuid4()), "because": "seized"}
    )
    assert "A quote waits for its answer" in answer.content.decode()


def test_a_consent_is_asked_with_words_to_begin_with(bench_client: Client, build: Build) -> None:
    page = bench_client.get(f"/build/{build.number}/consent/?kind=drilling").content.decode()
    assert "What is taken away cannot be put back" in page


def test_asked_once_for_two_taps_and_told_by_mail(bench_client: Client, build: Build) -> None:
    typed = {"token": str(uuid4()), "kind": "heat", "words": "May we warm it?"}
    for _ in range(2):
        assert bench_client.post(f"/build/{build.number}/consent/", typed).status_code == 303
    asked = Asking.objects.get()
    assert Message.objects.filter(key=f"consent:{asked.pk}").count() == 1
    assert "May we warm it?" in bench_client.get(f"/build/{build.number}/").content.decode()


def test_asked_again_while_it_waits_is_refused(bench_client: Client, build: Build) -> None:
    for _ in range(2):
        answer = bench_client.post(
            f"/build/{build.number}/consent/",
            {"token": str(uuid4()), "kind": "heat", "words": "May we?"},
        )
    assert answer.status_code == 422
    assert "asked already" in answer.content.decode()


def test_asked_no_more(bench_client: Client, build: Build, owner: User, now: datetime) -> None:
    quoting.ask_consent(build, "heat", "May we?", token=uuid4(), by=owner, now=now)
    asked = Asking.objects.get()
    bench_client.post(f"/build/{build.number}/consent/{asked.pk}/back/")
    asked.refresh_from_db()
    assert asked.ended_at is not None


def test_an_answer_by_telephone_closes_what_was_asked(
    build: Build, owner: User, now: datetime
) -> None:
    quoting.ask_consent(build, "heat", "May we?", token=uuid4(), by=owner, now=now)
    say(build, "heat", owner, now)
    assert Asking.objects.get().ended_at == now


@pytest.mark.parametrize(("is_yes", "said"), [(True, "accepted"), (False, "declined")])
def test_today_tells_of_an_answer_for_three_days(
    build: Build, owner: User, now: datetime, is_yes: bool, said: str
) -> None:
    quote = sent(build, owner, now)
    answer_quote(quote, is_yes=is_yes, words="", shop=House.objects.get(), now=now)
    news = f"Wren {said}: Quote {build.item.order.number}/1"
    assert news in wanted(now + timedelta(days=2))
    assert news not in wanted(now + timedelta(days=4))


def test_today_tells_of_a_consent(build: Build, owner: User, now: datetime) -> None:
    quoting.ask_consent(build, "heat", "May we?", token=uuid4(), by=owner, now=now)
    answer_consent(Asking.objects.get(), is_yes=False, shop=House.objects.get(), now=now)
    assert "Wren said no: consent to heat" in wanted(now)


def test_today_and_the_mornings_list_name_quotes_that_run_out(
    build: Build, owner: User, now: datetime
) -> None:
    sent(build, owner, now)
    House.objects.update(email="bench@example.com")
    line = f"Quote {build.item.order.number}/1 is valid until Fri 25 Dec, no answer yet"
    assert not any(line in each for each in wanted(now))
    late = now + timedelta(days=28)
    assert any(line in each for each in wanted(late))
    digest = send_digest(late)
    assert digest is not None
    assert line in digest.body.replace("\xa0", " ")


def test_a_quote_that_runs_out_while_the_shop_is_closed_is_named_before_it_closes(
    build: Build, owner: User, now: datetime
) -> None:
    sent(build, owner, now, valid_until=date(2026, 12, 1))
    thursday = now + timedelta(days=1)
    assert not any("no answer yet" in each for each in wanted(thursday))
    Closure.objects.create(first=date(2026, 11, 27), last=date(2026, 12, 1))
    assert not any("no answer yet" in each for each in wanted(now))
    assert any("no answer yet" in each for each in wanted(thursday))


def test_a_quote_that_waits_for_a_week_is_asked_about(
    build: Build, owner: User, now: datetime
) -> None:
    sent(build, owner, now)
    assert any("no answer yet" in each for each in wanted(now + timedelta(days=7)))


def test_the_bench_reads_no_figure_anywhere_on_its_pages(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    sent(build, owner, now)
    for path in ("/", f"/build/{build.number}/", f"/build/{build.number}/change/"):
        page = bench_client.get(path).content.decode()
        assert "336" not in page
        assert "£" not in page
