"""Two tablets and a double tap: a build moves once, and the slower one is told by whom."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.machine.conftest import Shop, Start

pytestmark = [pytest.mark.browser, pytest.mark.server]
Tablet = Callable[[str], Page]


@pytest.fixture
def demo(start: Start) -> Shop:
    return start("shop", "--demo")


@pytest.fixture
def tablet(browser: Browser, demo: Shop) -> Tablet:
    def sign_in(email: str) -> Page:
        phrase = re.search(rf"{email}\s+(\S+)", demo.said)
        assert phrase, demo.said
        page = browser.new_context().new_page()
        page.goto(f"http://127.0.0.1:{demo.port}/sign-in/")
        page.fill("[name=email]", email)
        page.fill("[name=password]", phrase[1])
        page.locator("main button").first.click()
        page.goto(f"http://127.0.0.1:{demo.port}/bench/")
        return page

    return sign_in


def history(page: Page, build: str) -> str:
    """What the sheet says was done."""
    page.goto(re.sub(r"/bench/$", f"/build/{build}/", page.url))
    return page.locator("#history").inner_text()


def movable(page: Page) -> str:
    """The number of a build whose one button moves it to teardown."""
    row = page.locator(".row", has=page.get_by_role("button", name="To teardown")).first
    return (row.get_attribute("id") or "").removeprefix("row-")


def test_slower_tablet_is_told_who_moved_it(tablet: Tablet) -> None:
    oda, jory = tablet("oda@larkhill.example"), tablet("jory@larkhill.example")
    number = movable(oda)
    for page in (oda, jory):
        page.locator(f"#row-{number}").get_by_role("button", name="To teardown").wait_for()
    oda.locator(f"#row-{number} button").click()
    expect(oda.locator("#said")).to_contain_text("is in teardown")
    jory.locator(f"#row-{number} button").click()
    expect(jory.locator("#said")).to_contain_text("Oda Marsh moved")
    assert history(jory, number).count("Moved from intake to teardown") == 1


def test_double_tap_moves_once(tablet: Tablet) -> None:
    oda = tablet("oda@larkhill.example")
    number = movable(oda)
    oda.locator(f"#row-{number} button").dblclick()
    expect(oda.locator("#said")).to_contain_text("is in teardown")
    assert history(oda, number).count("Moved from") == 2  # booked to intake, and this one


def test_move_is_taken_back_within_its_minute(tablet: Tablet) -> None:
    oda = tablet("oda@larkhill.example")
    number = movable(oda)
    oda.locator(f"#row-{number} button").click()
    oda.get_by_role("button", name="Undo").first.click()
    expect(oda.locator("#said")).to_contain_text("in intake again")
    expect(oda.locator(f"#row-{number}")).to_contain_text("To teardown")
