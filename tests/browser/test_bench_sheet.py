"""A bench test read fast, over a connection that answers slowly."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Route, expect

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 820, "height": 1100})
    context.set_default_timeout(60_000)
    yield context
    context.close()


def test_what_is_typed_in_the_next_line_outlives_the_answer_to_the_last(
    demo: Shop, context: BrowserContext
) -> None:
    page = sign_in(context, demo, "jory@larkhill.example")
    page.goto(f"http://127.0.0.1:{demo.port}/bench/")
    page.get_by_role("link", name="Go on with the sheet").first.click()
    page.wait_for_url(re.compile(r"/test/"))
    fields = page.locator(".proof.is-open .proof-form [name=value]")
    names = [fields.nth(place).get_attribute("id") for place in (0, 1)]
    answers: list[Route] = []
    page.route(re.compile(r"/test/line/"), lambda route: answers.append(route))
    page.locator(f"#{names[0]}").fill("1")
    page.locator(f"#{names[0]}").press("Enter")
    second = page.locator(f"#{names[1]}")
    second.click()
    page.keyboard.type("41.")
    page.wait_for_timeout(200)
    answers[0].continue_()
    expect(page.locator(f"#{names[0]}")).to_have_count(0)
    expect(second).to_have_value("41.")
    expect(second).to_be_focused()
    page.keyboard.type("2")
    expect(second).to_have_value("41.2")
