"""Days and hours in words: by the language, by what the shop chose, and by one door alone."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest
from django.conf import settings
from django.template import Context, Template
from django.utils import timezone
from django.utils.translation import get_language

from shop.house.models import DateForm
from shop.web.dated import dated
from shop.web.speech import patterns, speaking

REPOSITORY = Path(__file__).resolve().parent.parent.parent
DAY = date(2026, 11, 26)  # a Thursday
MOMENT = datetime(2026, 11, 26, 15, 5, tzinfo=UTC)
PAST_THE_DOOR = re.compile(r"\|\s*(date|time)\s*[:|}\s]|\{%\s*now\b")
FORMATS = re.compile(r"\bdate_format\b|\btime_format\b|\bdateformat\b|strftime\(|:%[HYd]")
# Machines read what these write: keys of rows, parameters of a deed, lines of a file.
FOR_MACHINES = {
    "shop/web/dated.py", "shop/web/models.py", "shop/later/models.py",
    "shop/keeping/actions/exporting.py",
    "shop/diary/dispatch.py", "shop/diary/actions.py", "builds/queue/remedies.py",
    "builds/desk/actions/passwords.py", "builds/engineering/lithium/classing.py",
}  # fmt: skip


@pytest.mark.parametrize(
    ("language", "order", "short", "long", "full", "brief"),
    [
        ("en-gb", "", "Thu 26 Nov", "Thursday 26 November", "26 November 2026", "26 Nov 2026"),
        ("en-gb", "day", "Thu 26 Nov", "Thursday 26 November", "26 November 2026", "26 Nov 2026"),
        ("en-gb", "month", "Thu, Nov 26", "Thursday, November 26", "November 26, 2026",
         "Nov 26, 2026"),
        ("en-gb", "us", "Thu 11/26", "Thursday 11/26", "11/26/2026", "11/26/2026"),
        ("en-gb", "dots", "Thu 26.11.26", "Thursday 26.11.26", "26.11.2026", "26.11.2026"),
        ("en-gb", "iso", "Thu 2026-11-26", "Thursday 2026-11-26", "2026-11-26", "2026-11-26"),
        ("de", "", "Do, 26. Nov", "Donnerstag, 26. November", "26. November 2026",
         "26. Nov. 2026"),
        ("de", "dots", "Do 26.11.26", "Donnerstag 26.11.26", "26.11.2026", "26.11.2026"),
        ("de", "iso", "Do 2026-11-26", "Donnerstag 2026-11-26", "2026-11-26", "2026-11-26"),
    ],
)  # fmt: skip
def test_a_day_is_written_as_its_reader_writes_it(
    language: str, order: str, short: str, long: str, full: str, brief: str
) -> None:
    with speaking(language, order):
        said = [dated(DAY, form) for form in ("short", "long", "full", "brief")]
    assert said == [short, long, full, brief]


@pytest.mark.parametrize("language", [code for code, _name in settings.LANGUAGES])
@pytest.mark.parametrize("order", [*DateForm.values])
def test_no_day_ends_in_a_full_stop_as_it_may_end_a_sentence(language: str, order: str) -> None:
    with speaking(language, order, "12"):
        said = [
            dated(datetime(2026, month, 4, 9, 5, tzinfo=UTC), form)
            for month in range(1, 13)
            for form in patterns()
        ]
    assert not [each for each in said if each.endswith(".")]


@pytest.mark.parametrize(("clock", "said"), [("24", "15:05"), ("12", "3:05 PM"), ("", "15:05")])
def test_an_hour_is_written_by_the_clock_of_the_shop(clock: str, said: str) -> None:
    with speaking("en-gb", "", clock):
        assert dated(MOMENT, "clock") == said
        assert dated(time(15, 5), "clock") == said
        assert dated(MOMENT, "short moment") == f"Thu 26 Nov, {said}"


def test_a_page_shows_a_moment_in_the_zone_of_the_shop() -> None:
    page = Template('{{ at|dated:"clock" }} {{ at|short_day }}')
    with timezone.override("Asia/Tokyo"), speaking("de"):
        said = page.render(Context({"at": datetime(2026, 11, 26, 20, 5, tzinfo=UTC)}))
    assert said == "05:05 Fr,\u00a027.\u00a0Nov"


def test_nothing_is_written_for_no_day() -> None:
    assert dated(None, "full") == ""
    assert Template("{{ at|long_day }}").render(Context({"at": None})) == ""


def test_another_language_inside_keeps_the_form_that_the_shop_chose() -> None:
    with speaking("en-gb", "iso", "12"), speaking("de"):
        assert dated(DAY, "long") == "Donnerstag 2026-11-26"
        assert dated(MOMENT, "clock").startswith("3:05")


def test_what_was_spoken_before_is_spoken_after_even_where_it_broke() -> None:
    before = get_language()
    with pytest.raises(LookupError), speaking("de", "iso"):
        raise LookupError
    assert get_language() == before
    assert dated(DAY, "brief") == "26 Nov 2026"


def test_no_thread_hears_the_language_of_another() -> None:
    def alone() -> tuple[str | None, str]:
        return get_language(), dated(DAY, "full")

    with ThreadPoolExecutor(max_workers=1) as pool, speaking("de", "dots"):
        assert pool.submit(alone).result() == ("en-gb", "26 November 2026")


@pytest.mark.parametrize("folder", ["templates", "shop", "builds"])
def test_no_day_is_written_past_the_door(folder: str) -> None:
    past = []
    for path in sorted((REPOSITORY / folder).rglob("*")):
        name = path.relative_to(REPOSITORY).as_posix()
        if path.suffix == ".html":
            past += [name] * bool(PAST_THE_DOOR.search(path.read_text("utf-8")))
        elif path.suffix == ".py" and name not in FOR_MACHINES:
            past += [name] * bool(FORMATS.search(path.read_text("utf-8")))
    assert not past
