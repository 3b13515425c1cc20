"""The drawn tags: stage rule, rule of days, rooms, measures and days."""

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.template import Context, Template
from django.utils import timezone
from django.utils.html import strip_tags
from pytest_django import Settings

from builds.progress.states import ENDINGS, ON_THE_RULE, STAGES
from shop.people.models import Role, User
from shop.templatetags import draw
from shop.web.day_rule import divisions, share_of_day

NOW = datetime(2026, 11, 25, 10, 40, tzinfo=UTC)
FIRST = date(2026, 11, 25)
SPACE = "\u202f"


def _rendered(source: str, **context: object) -> str:
    return Template(source).render(Context(context))


def _pointer(html: str) -> float | None:
    found = re.search(r'<svg x="([\d.]+)%"', html)
    return float(found.group(1)) if found else None


def test_rule_has_the_stages_that_builds_have() -> None:
    assert list(draw.DIVISIONS) == [stage.value for stage in ON_THE_RULE]
    known = {**draw.BEFORE, **draw.DIVISIONS, **draw.LEFT, **draw.UNFINISHED}
    assert {code: str(words) for code, words in known.items()} == {
        state.value: str(state.label) for state in (*STAGES, *ENDINGS)
    }


@pytest.mark.parametrize(
    ("state", "started", "stands_at"),
    [
        ("booked", False, 0),
        ("intake", False, 4),
        ("install", False, 44),
        ("install", True, 50),
        ("dispatch", True, 90),
        ("sent", False, 100),
        ("withdrawn", False, None),
    ],
)
def test_pointer_stands_on_the_stage(state: str, started: bool, stands_at: float | None) -> None:
    html = _rendered("{% stage_rule state started=started %}", state=state, started=started)
    assert _pointer(html) == stands_at


@pytest.mark.parametrize("state", [*STAGES, *ENDINGS])
def test_rule_says_in_words_where_the_build_is(state: str) -> None:
    html = _rendered("{% stage_rule state %}", state=state)
    assert re.search(r'role="img" aria-label="[^"]*' + str(state.label), html)


def test_small_rule_has_no_labels() -> None:
    assert "<text" not in _rendered('{% stage_rule "test" size="small" %}')
    assert _rendered('{% stage_rule "test" %}').count("<text") == 5


def test_rules_are_drawn_without_style_attributes() -> None:
    days = [{"date": FIRST, "is_dispatch": True, "flags": [{"label": "tray 7", "tray": "07"}]}]
    html = _rendered('{% stage_rule "test" %}{% day_rule days now=now %}', days=days, now=NOW)
    assert "style=" not in html


def _week(**of_the_third: object) -> list[dict[str, object]]:
    days = [{"date": FIRST + timedelta(days=n), "is_dispatch": n in (2, 5)} for n in range(8)]
    days[2] |= of_the_third
    return days


def test_flags_may_spread_as_far_as_the_next_dispatch_day() -> None:
    assert [day.room for day in divisions(_week(), None)] == [2, 1, 3, 2, 1, 3, 2, 1]


def test_now_stands_in_its_own_day_alone() -> None:
    assert [day.now for day in divisions(_week(), NOW)] == [44.4] + [None] * 7


def test_now_is_shown_in_the_zone_of_the_shop() -> None:
    with timezone.override("Pacific/Auckland"):
        html = _rendered("{% day_rule days now=now %}", days=_week(), now=NOW)
    assert "now 23:40" in strip_tags(html)


def test_share_of_a_day_runs_from_midnight() -> None:
    assert share_of_day(datetime(2026, 11, 25, 18, tzinfo=UTC)) == 75


def test_a_flag_says_its_build_and_leads_to_it() -> None:
    flag = {"label": "tray 02, in danger", "tray": "02", "url": "/b/131/", "state": "danger"}
    html = _rendered("{% day_rule days %}", days=_week(flags=[flag]))
    assert '<a class="flag danger" href="/b/131/">' in html
    assert '<span class="unseen">tray 02, in danger</span>' in html


def test_a_day_says_in_words_that_it_is_for_dispatch_or_closed() -> None:
    words = strip_tags(_rendered("{% day_rule days %}", days=_week(is_closed=True)))
    assert "Friday 27 November, dispatch day, closed" in words


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (26, "26.0"),
        (26.15, "26.15"),
        (Decimal("0.150"), "0.15"),
        (-0.15, "−0.15"),
        ("18.5", "18.5"),
        (26.149999, "26.15"),
        (1100, "1100.0"),
    ],
)
def test_a_length_has_its_unit_and_no_idle_zeros(value: object, shown: str) -> None:
    assert draw.mm(value) == f"{shown}{SPACE}mm"


@pytest.mark.parametrize("value", [None, "", "wide"])
def test_an_unknown_length_is_a_dash(value: object) -> None:
    assert draw.mm(value) == "–"


def test_a_value_keeps_together_with_its_unit() -> None:
    assert draw.thin("0.94 kg") == f"0.94{SPACE}kg"
    assert draw.thin("-3 °C") == f"−3{SPACE}°C"


def test_days_are_said_short_and_long() -> None:
    assert draw.short_day(date(2026, 11, 30)) == "Mon\xa030\xa0Nov"
    assert draw.long_day(date(2026, 11, 30)) == "Monday 30 November"
    assert draw.short_day(None) == draw.long_day(None) == ""


def test_a_moment_is_shown_as_the_day_it_is_at_the_shop() -> None:
    with timezone.override("Pacific/Auckland"):
        assert draw.long_day(datetime(2026, 11, 30, 22, tzinfo=UTC)) == "Tuesday 1 December"


def test_rooms_that_do_not_exist_are_left_out(settings: Settings) -> None:
    settings.ROOT_URLCONF = "tests.web.few_urls"
    html = _rendered("{% nav %}{% foot_nav %}", who=User(name="Oda", role=Role.OWNER), room="bench")
    assert "Bench" in html
    assert "Intake" not in html


def test_present_room_is_marked_once_in_each_bar(gallery: None) -> None:
    who = User(name="Oda", role=Role.OWNER)
    html = _rendered("{% nav %}{% foot_nav %}", who=who, room="bench")
    assert re.findall(r'href="(.*?)" aria-current="page"', html) == ["/bench/", "/bench/"]


def test_bench_hand_sees_no_settings(gallery: None) -> None:
    source = "{% nav %}{% foot_nav %}"
    assert "Settings" in _rendered(source, who=User(name="Oda", role=Role.OWNER))
    assert "Settings" not in _rendered(source, who=User(name="Jory", role=Role.BENCH))


def test_stranger_sees_no_rooms(gallery: None) -> None:
    assert _rendered("{% nav %}{% foot_nav %}").strip() == ""
