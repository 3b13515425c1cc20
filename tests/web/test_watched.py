"""One id finds all lines of a request; as JSON they hold no more than as text."""

import io
import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from pytest_django import Settings

from shop.web import traced
from shop.web.logs import DiscreetFormatter, JsonFormatter

pytestmark = pytest.mark.django_db
TOKEN = "aaaabbbbccccdddd-22223333444455556666777722"


@pytest.fixture
def lines() -> Iterator[io.StringIO]:
    """What the shop's loggers write as JSON."""
    shown = io.StringIO()
    handler, log = logging.StreamHandler(shown), logging.getLogger("hiltyard")
    handler.setFormatter(JsonFormatter())
    log.addHandler(handler)
    told = logging.getLogger("hiltyard.request")
    levels = log.level, told.level
    log.setLevel(logging.INFO)
    told.setLevel(logging.INFO)
    yield shown
    log.removeHandler(handler)
    log.setLevel(levels[0])
    told.setLevel(levels[1])


def _told(shown: io.StringIO) -> list[dict[str, Any]]:
    return [json.loads(line) for line in shown.getvalue().splitlines()]


def test_answer_bears_the_id_that_its_line_bears(bench_client: Client, lines: io.StringIO) -> None:
    answer = bench_client.get("/")
    (line,) = _told(lines)
    assert line["request"] == answer.headers["X-Request-ID"]
    assert (line["page"], line["method"], line["status"]) == ("bench_today", "GET", 200)
    assert line["ms"] > 0


def test_each_request_has_an_id_of_its_own(bench_client: Client) -> None:
    first, second = (bench_client.get("/").headers["X-Request-ID"] for _ in range(2))
    assert first != second
    assert traced.current() == ""


def test_id_of_a_stranger_is_not_taken_over(stranger: Client) -> None:
    answer = stranger.get("/sign-in/", headers={"x-request-id": "mine-12345678"})
    assert answer.headers["X-Request-ID"] != "mine-12345678"


def test_id_of_the_proxy_is_taken_over(stranger: Client, settings: Settings) -> None:
    settings.REQUEST_ID_HEADER = "X-Trace"
    answer = stranger.get("/sign-in/", headers={"x-trace": "proxy-12345678"})
    assert answer.headers["X-Request-ID"] == "proxy-12345678"


@pytest.mark.parametrize("given", ["short", "with space in it", "x" * 65, 'quo"te-12345', "ä" * 9])
def test_id_that_could_be_anything_else_is_not(
    stranger: Client, settings: Settings, given: str
) -> None:
    settings.REQUEST_ID_HEADER = "X-Trace"
    answer = stranger.get("/sign-in/", HTTP_X_TRACE=given)
    assert answer.headers["X-Request-ID"] != given


def test_line_of_a_private_page_names_the_page_alone(stranger: Client, lines: io.StringIO) -> None:
    stranger.get(f"/your/order/{TOKEN}/?name=Maud")
    assert TOKEN[:16] not in lines.getvalue()
    assert "Maud" not in lines.getvalue()
    assert _told(lines)[-1]["page"] == "visitor_order"


def _record(said: str) -> logging.LogRecord:
    return logging.LogRecord("hiltyard.tests", logging.ERROR, __file__, 1, said, (), None)


@pytest.mark.parametrize("before", ["", "\n", "\t", '"', "\\", "é"])
def test_no_sign_before_a_token_hides_it_from_the_formatter(before: str) -> None:
    line = JsonFormatter().format(_record(f"see{before}" + " "[: not before] + TOKEN))
    assert TOKEN[17:] not in line
    json.loads(line)


def test_traceback_as_json_holds_no_token() -> None:
    try:
        raise RuntimeError(f"at\n{TOKEN}")
    except RuntimeError as error:
        record = _record("a fault")
        record.exc_info = (type(error), error, error.__traceback__)
    told = json.loads(JsonFormatter().format(record))
    assert TOKEN not in told["trace"]
    assert "RuntimeError" in told["trace"]


def test_text_line_ends_with_the_id() -> None:
    with traced.working_on("abcdefgh1234"):
        line = DiscreetFormatter("{message}", style="{").format(_record("said"))
    assert line == "said [abcdefgh1234]"
