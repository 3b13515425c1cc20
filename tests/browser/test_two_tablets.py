"""Two tablets and a double tap: a build moves once, and the slower one is told by whom."""

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]
Tablet = Callable[[str], Page]


@pytest.fixture
def tablet(browser: Browser, demo: Shop) -> Iterator[Tablet]:
    """Opens the Bench on a tablet of someone's own."""
    with ExitStack() as contexts:

        def open_bench(email: str) -> Page:
            context = contexts.enter_context(closing(browser.new_context()))
            page = sign_in(context, demo, email)
            page.goto(f"http://127.0.0.1:{demo.port}/bench/")
            return page

        yield open_bench


def moves(page: Page, build: str) -> int:
    """How often the sheet says that a build was moved on, also in what lies folded.

    The shop is that of the whole run: another test may have moved the build and taken it back.
    """
    page.goto(re.sub(r"/(bench|build/\d+)/$", f"/build/{build}/", page.url))
    return (page.locator("#history").text_content() or "").count("Moved from")


def movable(page: Page, deed: str = "To teardown") -> str:
    """The number of a build whose one button does a deed."""
    row = page.locator(".row", has=page.get_by_role("button", name=deed)).first
    return (row.get_attribute("id") or "").removeprefix("row-")


def test_slower_tablet_is_told_who_moved_it(tablet: Tablet) -> None:
    oda, jory = tablet("oda@larkhill.example"), tablet("jory@larkhill.example")
    looking = tablet("oda@larkhill.example")
    number = movable(oda)
    for page in (oda, jory):
        page.locator(f"#row-{number}").get_by_role("button", name="To teardown").wait_for()
    before = moves(looking, number)
    oda.locator(f"#row-{number} button.go").click()
    expect(oda.locator("#said")).to_contain_text("is in teardown")
    jory.locator(f"#row-{number} button.go").click()
    expect(jory.locator("#said")).to_contain_text("Oda Marsh moved")
    assert moves(looking, number) == before + 1


def test_double_tap_moves_once(tablet: Tablet) -> None:
    oda, looking = tablet("oda@larkhill.example"), tablet("oda@larkhill.example")
    number = movable(oda)
    before = moves(looking, number)
    oda.locator(f"#row-{number} button.go").dblclick()
    expect(oda.locator("#said")).to_contain_text("is in teardown")
    assert moves(looking, number) == before + 1


def test_move_is_taken_back_within_its_minute(tablet: Tablet) -> None:
    oda = tablet("oda@larkhill.example")
    number = movable(oda, "To dispatch")
    oda.locator(f"#row-{number} button.go").click()
    expect(oda.locator("#said")).to_contain_text("is in dispatch")
    oda.locator(".undo").first.get_by_role("button").click()  # the newest; others may stand below
    expect(oda.locator("#said")).to_contain_text("in test again")
    expect(oda.locator(f"#row-{number}")).to_contain_text("To dispatch")
