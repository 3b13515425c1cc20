"""The pages in German, whose words are longer: nothing runs over, and axe finds no grave fault."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import sign_in
from tests.browser.test_axe import ALL, AXE, WIDTHS, grave_faults
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]
LAID_OUT = (Path(__file__).parent / "laid_out.js").read_text("utf-8")
PATHS = ("/", "/bench/", "/build/24/", "/build/24/power/", "/dates/", "/dispatch/", "/orders/",
         "/stores/", "/settings/", "/my-sign-in/")  # fmt: skip


def _speak(page: Page, base: str, language: str) -> None:
    page.goto(f"{base}/my-sign-in/")
    page.select_option("[name=language]", language)
    page.locator("#language button").click()
    page.wait_for_load_state()


@pytest.fixture
def german(browser: Browser, demo: Shop) -> Iterator[tuple[BrowserContext, str]]:
    """The owner, who reads German for as long as the test takes."""
    base = f"http://127.0.0.1:{demo.port}"
    with closing(browser.new_context(reduced_motion="reduce")) as context:
        page = sign_in(context, demo, "oda@larkhill.example")
        _speak(page, base, "de")
        yield context, base
        _speak(page, base, "")


def test_pages_in_german_fit_and_have_no_serious_fault(
    german: tuple[BrowserContext, str],
) -> None:
    context, base = german
    page, found = context.new_page(), []
    for path in PATHS:
        page.goto(base + path)
        expect(page.locator("html")).to_have_attribute("lang", "de")
        page.evaluate(AXE)
        for width in (320, *WIDTHS):
            page.set_viewport_size({"width": width, "height": 900})
            found += [f"{path} at {width}: {what}" for what in page.evaluate(LAID_OUT)]
        found += [f"{path}: {fault}" for fault in grave_faults(page, ALL)]
    assert found == []
