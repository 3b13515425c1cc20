"""The pages of dates: the line, its order, what can be promised, what if."""

import re
from datetime import date, datetime, time, timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.formats import date_format

from builds.models import Build
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.keeping import keep_late
from builds.queue.actions.once import Refused
from builds.queue.actions.ordering import Overtaken, keep_order
from builds.queue.actions.reckoning import reckon
from builds.queue.effects import goes_first
from builds.queue.models import LinePlace, Outlook
from builds.queue.queries import dues, in_line, line, newest
from builds.queue.queries.compared import compared
from builds.queue.values import with_closure
from shop.diary.models import Closure, ExtraDay, Weekday
from shop.diary.queries import calendar
from shop.history.models import Entry
from shop.house.models import House
from shop.models import User
from shop.stores.models import PurchaseLine
from tests.makers import FRIDAY, at_once, make_build, put_on_hold
from tests.queue.making import finished, wait_for_one_part

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
SATURDAY = date(2026, 11, 28)
VIEWS = ("dates", "order", "new_order", "what_if", "keeping")


@pytest.fixture(autouse=True)
def _same_moment(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    for view in VIEWS:
        monkeypatch.setattr(f"builds.queue.views.{view}.now", lambda: now)


@pytest.fixture
def known(owner: User, now: datetime) -> list[Build]:
    """Ten and more finished builds: what is said of odds may be said."""
    return finished(12, owner, now)


@pytest.fixture
def three(known: list[Build], owner: User, now: datetime) -> list[Build]:
    """Three builds in the line, told a day each."""
    builds = [make_build(owner, now, State.INSTALL) for _n in range(3)]
    for build, day in zip(builds, (FRIDAY, FRIDAY + 3 * DAY, FRIDAY + 3 * DAY), strict=True):
        promise(build, day, reason="", by=owner, now=now)
    reckon(now)
    return builds


def page(client: Client, name: str, query: str = "", *where: int) -> str:
    answer = client.get(reverse(name, args=where) + query)
    assert answer.status_code == 200, answer.headers
    return str(answer.content.decode())


def text(html: str) -> str:
    """What is to be read, without the marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ")


def order_of(house: House, now: datetime) -> list[int]:
    builds = list(Build.objects.exclude(state=State.SENT))
    due = dues([build.pk for build in builds], calendar(house), now)
    return [build.pk for build in in_line(builds, due)]


def newest_outlooks() -> list[Outlook]:
    """What the newest run says, in the order of the line."""
    return list(Outlook.objects.filter(reckoning=newest()).order_by("place"))


def hidden(html: str) -> dict[str, str]:
    """The fields that a page carries to its deed."""
    form = html[html.index('type="hidden" name="token"') :].split("</form>")[0]
    return dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form))


def test_line_says_day_promise_and_from_how_many_builds(
    owner_client: Client, three: list[Build]
) -> None:
    said = text(page(owner_client, "queue_dates"))
    assert "Reckoned at 10:40 from 12 finished builds" in said
    assert "due Fri 27 Nov: " in said
    assert "A range alone" not in said


def test_run_of_yesterday_says_its_day_and_no_odds(
    owner_client: Client, three: list[Build], now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.queue.views.dates.now", lambda: now + DAY)
    said = text(page(owner_client, "queue_dates"))
    assert "Reckoned on Wed 25 Nov at 10:40 from 12 finished builds" in said
    assert "due Fri 27 Nov: " not in said


def test_odds_of_another_day_are_not_said(
    owner_client: Client, three: list[Build], owner: User, now: datetime
) -> None:
    promise(three[0], FRIDAY + 14 * DAY, reason="", by=owner, now=now)
    said = text(page(owner_client, "queue_dates"))
    assert "due Fri 11 Dec" in said
    assert "due Fri 11 Dec: " not in said


def test_what_helps_is_offered_beside_a_promise_in_danger(
    owner_client: Client, three: list[Build]
) -> None:
    Outlook.objects.filter(build=three[0]).update(
        odds=0.2, remedy="new_day", remedy_odds=0.9, remedy_with={"day": "2026-12-11"}
    )
    html = page(owner_client, "queue_dates")
    assert "First day that holds: Fri 11 Dec, 90 %" in text(html)
    assert f"/build/{three[0].number}/?day=2026-12-11#promise" in html


def test_what_if_says_no_odds_of_what_waits_for_its_customer(
    three: list[Build], owner: User, now: datetime
) -> None:
    put_on_hold(three[1], owner, now)
    before = line(now)
    worse = goes_first(with_closure(before, FRIDAY, FRIDAY + 20 * DAY), three[2].pk)
    found = {row.build.pk: row for row in compared(before, worse).rows}
    assert found[three[0].pk].odds is not None
    assert found[three[1].pk].odds is None
    assert found[three[1].pk].told.replace("\xa0", " ") == "Mon 30 Nov, moves along"
    assert found[three[1].pk].word == "later"


def test_bench_hand_sees_the_line_and_no_money(bench_client: Client, three: list[Build]) -> None:
    assert str(three[0]) in page(bench_client, "queue_dates")


def test_below_ten_the_range_stands_alone(
    owner_client: Client, owner: User, now: datetime, house: House
) -> None:
    finished(9, owner, now)
    build = make_build(owner, now, State.INSTALL)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    reckon(now)
    said = text(page(owner_client, "queue_dates"))
    assert "A range alone, without odds: full install (9 finished)" in said
    assert "due Fri 27 Nov :" not in said
    assert "%" not in said.split("The line")[-1].split("likely:")[0]
    offered = text(page(owner_client, "queue_new", "?kind=full"))
    assert "9 finished builds of this kind stand behind it" in offered
    assert "The first dispatch day with at least" not in offered


def test_promise_that_waits_for_its_customer_moves_along(
    owner_client: Client, three: list[Build], owner: User, now: datetime
) -> None:
    put_on_hold(three[2], owner, now)
    reckon(now + timedelta(minutes=11))
    said = text(page(owner_client, "queue_dates"))
    assert "its day moves along" in said


def test_promise_in_danger_stands_at_the_head(
    owner_client: Client, known: list[Build], owner: User, now: datetime
) -> None:
    builds = [make_build(owner, now, State.TEARDOWN) for _n in range(5)]
    for build in builds[2:]:
        promise(build, FRIDAY, reason="", by=owner, now=now)
    for place, build in enumerate(builds):
        LinePlace.objects.create(build=build, place=place)
    reckon(now)
    said = text(page(owner_client, "queue_dates"))
    assert "3 promises in danger" in said
    assert said.index("in danger") < said.rindex("The line")


@pytest.mark.parametrize(
    ("missing", "sentence"),
    [
        ("hours", "Nobody has said yet when the shop works"),
        ("dispatch", "No weekday is a dispatch day"),
        ("people", "Nobody of the staff works on builds"),
    ],
)
def test_page_says_what_a_shop_has_not_set(
    owner_client: Client, three: list[Build], missing: str, sentence: str
) -> None:
    if missing == "hours":
        Weekday.objects.update(opens=None, closes=None)
    elif missing == "dispatch":
        Weekday.objects.update(dispatches=False)
    else:
        User.objects.update(at_bench=False)
    for name in ("queue_dates", "queue_new", "queue_what_if"):
        page(owner_client, name)
    assert sentence in text(page(owner_client, "queue_dates"))


def test_move_shows_what_it_does_before_it_is_kept(
    owner_client: Client, three: list[Build], house: House, now: datetime
) -> None:
    before = order_of(house, now)
    html = page(owner_client, "queue_order", "?to=first", three[2].number)
    said = text(html)
    assert f"If {three[2].hilt} goes first" in said
    assert "from place 3 to place 1" in said
    assert order_of(house, now) == before
    assert not LinePlace.objects.exists()
    answer = owner_client.post(reverse("queue_order_keep", args=[three[2].number]), hidden(html))
    assert answer.status_code == 303
    assert order_of(house, now) == [before[2], before[0], before[1]]
    assert LinePlace.objects.count() == 3
    assert [each.build_id for each in newest_outlooks()] == order_of(house, now)  # reckoned at once
    assert Entry.objects.filter(verb="line_moved", about=three[2].about).count() == 1


def test_double_tap_moves_once(
    owner_client: Client, three: list[Build], house: House, now: datetime
) -> None:
    fields = hidden(page(owner_client, "queue_order", "?to=down", three[0].number))
    for _tap in range(2):
        assert (
            owner_client.post(
                reverse("queue_order_keep", args=[three[0].number]), fields
            ).status_code
            == 303
        )
    assert order_of(house, now) == [three[1].pk, three[0].pk, three[2].pk]
    assert Entry.objects.filter(verb="line_moved", about="line").count() == 1


def test_other_tablet_that_moved_first_is_named(
    bench_client: Client, bench_hand: User, three: list[Build], owner: User, house: House,
    now: datetime,
) -> None:  # fmt: skip
    fields = hidden(page(bench_client, "queue_order", "?to=first", three[2].number))
    keep_order(three[1].pk, "first", seen=order_of(house, now), token=uuid4(), by=owner, now=now)
    answer = bench_client.post(
        reverse("queue_order_keep", args=[three[2].number]), fields, follow=True
    )
    assert "Oda put the line in another order first" in text(answer.content.decode())
    assert order_of(house, now)[0] == three[1].pk


def test_line_that_grew_meanwhile_is_looked_at_anew(
    three: list[Build], owner: User, house: House, now: datetime
) -> None:
    seen = order_of(house, now)
    make_build(owner, now)
    with pytest.raises(Overtaken, match=r"The line has changed: \d+ is new in it"):
        keep_order(three[2].pk, "first", seen=seen, token=uuid4(), by=owner, now=now)


def test_build_that_ended_is_named_and_not_whoever_moved_the_line_before(
    three: list[Build], owner: User, house: House, now: datetime
) -> None:
    keep_order(three[1].pk, "first", seen=order_of(house, now), token=uuid4(), by=owner, now=now)
    seen = order_of(house, now)
    Build.objects.filter(pk=three[0].pk).update(state=State.WITHDRAWN, tray=None)
    with pytest.raises(Overtaken, match=f"The line has changed: {three[0]} has ended"):
        keep_order(three[2].pk, "first", seen=seen, token=uuid4(), by=owner, now=now)


def test_days_that_changed_the_line_are_nobodys_move(
    three: list[Build], owner: User, house: House, now: datetime
) -> None:
    keep_order(three[1].pk, "first", seen=order_of(house, now), token=uuid4(), by=owner, now=now)
    LinePlace.objects.exclude(build=three[1]).delete()
    seen = order_of(house, now)
    assert seen == [three[1].pk, three[0].pk, three[2].pk]
    promise(three[0], FRIDAY + 10 * DAY, reason="", by=owner, now=now)
    with pytest.raises(Overtaken, match="by the days due"):
        keep_order(three[2].pk, "first", seen=seen, token=uuid4(), by=owner, now=now)


def test_line_goes_back_to_the_order_of_the_days_once(
    bench_client: Client, three: list[Build], owner: User, house: House, now: datetime
) -> None:
    before = order_of(house, now)
    assert "order of their days" not in page(bench_client, "queue_dates")
    keep_order(three[2].pk, "first", seen=before, token=uuid4(), by=owner, now=now)
    fields = hidden(page(bench_client, "queue_dates"))
    for _tap in range(2):
        assert bench_client.post(reverse("queue_by_days"), fields).status_code == 303
    assert order_of(house, now) == before
    assert [each.build_id for each in newest_outlooks()] == before
    assert Entry.objects.filter(verb="line_by_days", about="line").count() == 1
    answer = bench_client.post(reverse("queue_by_days"), {"token": "x"}, follow=True)
    assert "That page was out of date" in text(answer.content.decode())


def test_nonsense_in_the_address_is_answered(owner_client: Client, three: list[Build]) -> None:
    here = three[0].number
    for query in ("", "?to=sideways", "?to=after", "?to=after&after=77", "?to=after&after=x"):
        assert "Try a place" in page(owner_client, "queue_order", query, here)
    assert owner_client.get(reverse("queue_order", args=[9999])).status_code == 404
    answer = owner_client.post(reverse("queue_order_keep", args=[here]), {"seen": "1;2"})
    assert answer.status_code == 303
    assert not LinePlace.objects.exists()


def test_new_order_is_offered_a_dispatch_day_with_the_least_odds(
    owner_client: Client, three: list[Build], house: House
) -> None:
    said = text(page(owner_client, "queue_new", "?kind=full"))
    assert "The first dispatch day with at least 80 %" in said
    assert "If it went first" in said
    assert "until the hilt is here" in said
    assert "until the customer says yes" in said
    assert "deposit" not in said
    assert "Parts that are not in stock are not counted" in said


def test_new_blade_is_not_sent_but_a_deposit_is_awaited(
    owner_client: Client, three: list[Build], house: House
) -> None:
    House.objects.update(deposit_hundredths=3000)
    said = text(page(owner_client, "queue_new", "?kind=blade"))
    assert "until the deposit is in" in said
    assert "until the hilt is here" not in said


@pytest.fixture
def waiting(known: list[Build], owner: User, now: datetime) -> PurchaseLine:
    """Three builds that wait for one part, with days that just hold."""
    builds = [make_build(owner, now, State.INSTALL) for _n in range(3)]
    for build, days in zip(builds, (10, 10, 14), strict=True):
        promise(build, FRIDAY + days * DAY, reason="", by=owner, now=now)
    line = wait_for_one_part(builds, owner, now, date(2026, 12, 1))
    reckon(now)
    return line


def test_late_part_is_seen_to_endanger_three_and_kept(
    owner_client: Client, waiting: PurchaseLine, now: datetime
) -> None:
    html = page(owner_client, "queue_if_late", f"?line={waiting.pk}&days=10")
    said = text(html)
    assert "3 builds get later or less likely" in said
    assert said.count("now in danger") == 3
    waiting.purchase.refresh_from_db()
    assert waiting.purchase.expected_on
    new = date_format(waiting.purchase.expected_on + 10 * DAY, "D j M")
    assert f"10 days late, so: {new}" in said
    for _tap in range(2):
        assert owner_client.post(reverse("queue_keep_late"), hidden(html)).status_code == 303
    waiting.purchase.refresh_from_db()
    assert waiting.purchase.expected_on == date(2026, 12, 11)
    assert all(each.odds is not None and each.odds < 0.8 for each in newest_outlooks())
    assert "3 promises in danger" in text(page(owner_client, "queue_dates"))


def test_day_that_was_changed_meanwhile_is_not_changed_again(
    owner_client: Client, waiting: PurchaseLine
) -> None:
    fields = hidden(page(owner_client, "queue_if_late", f"?line={waiting.pk}&days=10"))
    type(waiting.purchase).objects.update(expected_on=date(2026, 12, 3))
    answer = owner_client.post(reverse("queue_keep_late"), fields, follow=True)
    assert "Its day was changed meanwhile" in text(answer.content.decode())


def test_bench_hand_may_look_at_a_late_part_but_not_keep_it(
    bench_client: Client, waiting: PurchaseLine
) -> None:
    html = page(bench_client, "queue_if_late", f"?line={waiting.pk}&days=10")
    assert "is for the owner to change" in text(html)
    assert bench_client.post(reverse("queue_keep_late"), {}).status_code == 403
    assert bench_client.post(reverse("queue_keep_closed"), {}).status_code == 403


def saturday(person: User) -> str:
    return f"?person={person.pk}&day={SATURDAY}&opens=09:00&closes=17:00"


def test_saturday_is_tried_and_kept_once(
    owner_client: Client, three: list[Build], owner: User, now: datetime
) -> None:
    html = page(owner_client, "queue_if_day", saturday(owner))
    assert "If Oda works on Saturday 28 November, 09:00 to 17:00" in text(html)
    assert not ExtraDay.objects.exists()
    for _tap in range(2):
        assert owner_client.post(reverse("queue_keep_day"), hidden(html)).status_code == 303
    kept = ExtraDay.objects.get()
    assert (kept.person, kept.day, kept.opens) == (owner, SATURDAY, time(9))
    assert Entry.objects.filter(verb="extra_day_added").count() == 1
    assert "Oda works" in text(page(owner_client, "queue_dates"))
    owner_client.post(reverse("queue_extra_remove", args=[kept.pk]))
    assert not ExtraDay.objects.exists()


def test_other_hours_of_a_day_worked_on_top_are_kept(
    owner_client: Client, three: list[Build], owner: User
) -> None:
    for closes in ("17:00", "12:30"):
        query = saturday(owner).replace("17:00", closes)
        fields = hidden(page(owner_client, "queue_if_day", query))
        answer = owner_client.post(reverse("queue_keep_day"), fields, follow=True)
        assert f"Oda works on Saturday 28 November, 09:00 to {closes}" in text(
            answer.content.decode()
        )
    assert ExtraDay.objects.get().closes == time(12, 30)


def test_bench_hand_says_so_for_nobody_else(
    bench_client: Client, bench_hand: User, three: list[Build], owner: User, now: datetime
) -> None:
    html = page(bench_client, "queue_if_day", saturday(owner))
    assert "That is for Oda or the owner to keep" in text(html)
    query = {"person": owner.pk, "day": SATURDAY, "opens": "09:00", "closes": "17:00"}
    bench_client.post(reverse("queue_keep_day"), query)
    assert not ExtraDay.objects.exists()
    bench_client.post(reverse("queue_keep_day"), {**query, "person": bench_hand.pk})
    mine = ExtraDay.objects.get()
    assert mine.person == bench_hand
    other = ExtraDay.objects.create(person=owner, day=SATURDAY, opens=time(9), closes=time(12))
    bench_client.post(reverse("queue_extra_remove", args=[other.pk]))
    assert ExtraDay.objects.count() == 2


@pytest.mark.parametrize(
    ("name", "query", "why"),
    [
        ("queue_if_day", "?person={who}&day=2026-11-27&opens=09:00&closes=17:00", "a working day"),
        ("queue_if_day", "?person={who}&day=2026-11-21&opens=09:00&closes=17:00", "is past"),
        ("queue_if_day", "?person={who}&day=2026-11-28&opens=17:00&closes=09:00", "after the beg"),
        ("queue_if_day", "?person={who}&day=2026-11-28&opens=09:00:30&closes=17:00", "as 09:30"),
        ("queue_if_day", "?person=x&day=x&opens=x&closes=x", "Enter a valid date"),
        ("queue_if_closed", "?first=2026-12-07&last=2026-12-01", "comes before the first"),
        ("queue_if_closed", "?first=2026-11-01&last=2026-12-01", "cannot be closed any more"),
        ("queue_if_hands", "?hours=25", "Hours a day: write 12 at most."),
        ("queue_if_hands", "?hours=0", "Hours a day: write half an hour or more."),
        ("queue_if_late", "?line=1&days=0", "Days late: write 1 or more."),
        ("queue_if_late", "?line=77&days=10", "Select a valid choice"),
        ("queue_if_late", "?line=", "This field is required"),
    ],
)
def test_what_cannot_be_tried_is_said_beside_its_field(
    owner_client: Client, waiting: PurchaseLine, owner: User, name: str, query: str, why: str
) -> None:
    answer = owner_client.get(reverse(name) + query.format(who=owner.pk))
    assert answer.status_code == 422
    assert why in text(answer.content.decode())


def test_closing_is_tried_and_kept_once(owner_client: Client, three: list[Build]) -> None:
    html = page(owner_client, "queue_if_closed", "?first=2026-11-26&last=2026-12-04")
    assert "3 builds get later or less likely" in text(html)
    for _tap in range(2):
        assert owner_client.post(reverse("queue_keep_closed"), hidden(html)).status_code == 303
    kept = Closure.objects.get()
    assert (kept.first, kept.last) == (date(2026, 11, 26), date(2026, 12, 4))


def test_more_hands_are_looked_at_and_not_kept(owner_client: Client, three: list[Build]) -> None:
    html = page(owner_client, "queue_if_hands", "?hours=2")
    assert "If somebody helps for 2 h a day" in text(html)
    assert "<form" not in html.split("<main")[1].split("</main>")[0]


def test_empty_shop_says_what_comes_here(owner_client: Client) -> None:
    assert "No build is open" in text(page(owner_client, "queue_dates"))
    page(owner_client, "queue_what_if")
    page(owner_client, "queue_new")


@pytest.mark.django_db(transaction=True)
def test_two_tablets_make_an_order_late_once(
    waiting: PurchaseLine, owner: User, now: datetime
) -> None:
    seen = waiting.purchase.expected_on
    answers = at_once(*[
        lambda days=days: keep_late(waiting.pk, days, seen=seen, by=owner, now=now)
        for days in (5, 10)
    ])  # fmt: skip
    kept = [answer for answer in answers if isinstance(answer, date)]
    waiting.purchase.refresh_from_db()
    assert kept == [waiting.purchase.expected_on]
    assert sum(isinstance(answer, Refused) for answer in answers) == 1
