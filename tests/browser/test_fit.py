"""The fit in Chromium: what does not fit, why, the advice taken; its numbers are the table's."""

import re

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]
OWNER = "oda@larkhill.example"
DIGITS = re.compile(r"\d+\.\d+")


def fit_of(page: Page, shop: Shop, hilt: str) -> str:
    """The address of the fit page of a hilt's build, found as a person finds it."""
    page.goto(f"http://127.0.0.1:{shop.port}/bench/")
    page.get_by_role("link", name=hilt, exact=True).first.click()
    page.wait_for_load_state()
    number = re.search(r"/build/(\d+)/", page.url)
    assert number, page.url
    return f"http://127.0.0.1:{shop.port}/build/{number[1]}/"


def of_table(page: Page, of: str) -> Locator:
    return page.locator(f'span[data-of="{of}"]').first


def look_at_numbers(page: Page) -> int:
    """Every number that the eye sees in a drawing stands in the table, in the same digits."""
    seen = 0
    for text in page.locator("svg.drawing text[data-of]").all():
        if not text.is_visible():
            continue
        of, mm = text.get_attribute("data-of"), text.get_attribute("data-mm")
        told = of_table(page, str(of))
        assert told.get_attribute("data-mm") == mm, of
        assert DIGITS.findall(text.text_content() or "")[0] in (told.text_content() or ""), of
        seen += 1
    return seen


@pytest.mark.parametrize("width", [1280, 360])
def test_numbers_of_the_drawing_are_those_of_the_table(
    browser: Browser, demo: Shop, width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = sign_in(context, demo, OWNER)
    page.goto(fit_of(page, demo, "Copperfen") + "fit/")
    assert look_at_numbers(page) > 12
    shown = page.locator("svg.drawing.upright" if width == 360 else "svg.drawing.lying")
    expect(shown).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    context.close()


@pytest.mark.parametrize("width", [1280, 820, 360])
def test_words_in_the_drawing_are_large_enough_to_read(
    browser: Browser, demo: Shop, width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = sign_in(context, demo, OWNER)
    page.goto(fit_of(page, demo, "Copperfen") + "fit/")
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll("svg.drawing text")]
        .filter((text) => text.getBoundingClientRect().width > 0)
        .map((text) => parseFloat(getComputedStyle(text).fontSize) *
          text.ownerSVGElement.getBoundingClientRect().width /
          text.ownerSVGElement.viewBox.baseVal.width))"""
    )
    assert smallest >= 11
    context.close()


def test_board_too_wide_is_swapped_on_advice_and_the_gate_opens(
    browser: Browser, demo: Shop
) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 900})
    page = sign_in(context, demo, OWNER)
    sheet = fit_of(page, demo, "Brindle")
    page.goto(sheet)
    gate = page.locator("#gate")
    expect(gate).to_contain_text("too much for the grip")
    page.goto(sheet + "fit/")
    expect(page.locator("main")).to_contain_text("Does not fit")
    stops = page.locator('[data-code="bore-too-small"]')
    expect(stops).to_contain_text("Sound board over cell is 0.15\u202fmm too much for the grip.")
    stops.locator("a.why").click()
    page.locator("li", has_text="Sound board 18 × 3").get_by_role("button").click()
    page.wait_for_load_state()
    expect(page.locator("main")).to_contain_text("Everything fits")
    assert look_at_numbers(page) > 8
    page.goto(sheet)
    expect(gate).to_contain_text("It fits")
    context.close()
