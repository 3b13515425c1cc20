"""By the keyboard alone: every stop of every page is seen, and the work of a day can be done."""

import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.tour import Tour
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]
STOPS = (Path(__file__).parent / "stops.js").read_text("utf-8")
WIDTHS = (360, 1280)
MOST_STOPS = 250  # on the way to anything on any page
TRAPLESS = ("bench_today", "bench_sheet", "desk_settings", "dispatch_parcel", "visitor_order")
STANDS = """() => { const e = document.activeElement;
  const place = [...document.querySelectorAll('*')].indexOf(e);
  return !e || e === document.body ? '' : e.tagName + place; }"""


def test_every_stop_of_every_page_is_seen(browser: Browser, tours: list[Tour]) -> None:
    found = []
    for tour in tours:
        context = browser.new_context(storage_state=tour.state, reduced_motion="reduce")
        with closing(context):
            page = context.new_page()
            for path in tour.paths:
                page.goto(tour.base + path)
                page.keyboard.press("Tab")  # from here on it is the keyboard that moves
                for width in WIDTHS:
                    page.set_viewport_size({"width": width, "height": 800})
                    found += [f"{path} at {width}: {what}" for what in page.evaluate(STOPS)]
    assert found == []


def test_no_page_keeps_the_keyboard_and_the_way_back_is_the_same(
    browser: Browser, tours: list[Tour]
) -> None:
    for tour in tours:
        with closing(browser.new_context(storage_state=tour.state)) as context:
            page = context.new_page()
            for path in tour.paths_of(TRAPLESS):
                page.goto(tour.base + path)
                page.locator(".skip").focus()
                there = [page.evaluate(STANDS), *_all_stops(page, "Tab")]
                back = _all_stops(page, "Shift+Tab")
                assert back == there[::-1], path


def _all_stops(page: Page, key: str) -> list[str]:
    """What the keyboard stops at, one after the other, until it leaves the page."""
    stops: list[str] = []
    for _ in range(MOST_STOPS):
        page.keyboard.press(key)
        stands = str(page.evaluate(STANDS))
        if stops and stands == stops[-1]:
            continue  # from one button of a film's player to the next
        if not stands or stands in stops:  # some browsers begin anew at once
            return stops
        stops.append(stands)
    raise AssertionError(f"the keyboard never leaves {page.url}")


def test_the_first_stop_leads_past_what_stands_on_every_page(
    browser: Browser, tours: list[Tour]
) -> None:
    for tour in tours:
        with closing(browser.new_context(storage_state=tour.state)) as context:
            page = context.new_page()
            for path in tour.paths_of(("bench_bench", "desk_order", "visitor_order")):
                page.goto(tour.base + path)
                page.keyboard.press("Tab")
                expect(page.locator(":focus")).to_have_text("To the page itself")
                page.keyboard.press("Enter")
                page.keyboard.press("Tab")
                assert page.evaluate("document.querySelector('main').matches(':focus-within')")


class Keys:
    """Somebody without a pointer: goes from stop to stop, sees each, and does what it offers."""

    def __init__(self, page: Page, base: str) -> None:
        self.page, self.base = page, base

    def open(self, path: str) -> None:
        """Open an address of the shop."""
        self.page.goto(self.base + path)

    def to(self, wanted: Locator) -> None:
        """Press Tab until something has the focus."""
        handle = wanted.first.element_handle()
        for _ in range(MOST_STOPS):
            if handle and handle.evaluate("e => e === document.activeElement"):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"the keyboard never comes to {wanted}")

    def press(self, wanted: Locator, key: str = "Enter") -> None:
        """Go to a link, a button or a fold, and press it."""
        self.to(wanted)
        self.page.keyboard.press(key)
        self.page.wait_for_load_state()

    def write(self, field: Locator, text: str) -> None:
        """Go to a field and type."""
        self.to(field)
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(text)

    def choose(self, field: Locator, words: str) -> None:
        """Go to a list and walk down it until it shows the words."""
        self.to(field)
        for _ in range(60):
            chosen = field.first.evaluate("e => e.selectedOptions[0].textContent")
            if words in str(chosen):
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{words} is not in the list")

    def link(self, words: str) -> Locator:
        """A link of the page itself, by its words."""
        return self.page.locator("main").get_by_role("link", name=re.compile(words))

    def button(self, words: str) -> Locator:
        """A button of the page itself, by its words."""
        return self.page.locator("main").get_by_role("button", name=re.compile(words))


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(30_000)
    yield context
    context.close()


@pytest.fixture
def keys(context: BrowserContext, demo: Shop) -> Keys:
    """The owner, signed in by the keyboard."""
    phrase = re.search(r"oda@larkhill.example\s+(\S+)", demo.said)
    assert phrase, demo.said
    keys = Keys(context.new_page(), f"http://127.0.0.1:{demo.port}")
    keys.open("/sign-in/")
    keys.write(keys.page.locator("[name=email]"), "oda@larkhill.example")
    keys.page.keyboard.press("Tab")
    keys.page.keyboard.type(phrase[1])
    keys.page.keyboard.press("Enter")
    expect(keys.page.locator("main h1")).to_be_visible()
    expect(keys.page.locator("nav[aria-label] [aria-current]").first).to_have_text("Today")
    return keys


def test_a_parcel_is_logged_with_its_photo(keys: Keys, pictures: list[Path]) -> None:
    keys.press(keys.link("A parcel came"))
    keys.choose(keys.page.locator("[name=build]"), "nobody knows yet")
    keys.press(keys.page.locator("[name=box]").first, "Space")
    keys.write(keys.page.locator("[name=carrier]"), "Parcel post")
    keys.press(keys.button("Log it"))
    expect(keys.page.locator("#said")).to_be_visible()
    photos = keys.page.locator("#photos figure")
    before = photos.count()
    with keys.page.expect_file_chooser() as chooser:
        keys.press(keys.page.locator("#camera"), "Enter")
    chooser.value.set_files(pictures[0])
    expect(photos).to_have_count(before + 1)


def test_a_build_goes_on_and_back(keys: Keys) -> None:
    keys.open("/bench/")
    onward = keys.page.locator(".row-deed button.go").first
    words = onward.inner_text()
    keys.press(onward)
    undo = keys.page.locator(".undo button").first
    expect(undo).to_be_visible()
    keys.press(undo, "Space")
    expect(keys.page.locator(".row-deed button.go").first).to_have_text(words)


def test_a_length_is_measured(keys: Keys) -> None:
    keys.open("/build/24/")
    keys.press(keys.link("^measures$"))
    section = keys.page.locator(".section").first
    field = section.locator(".caliper [name=length]")
    if not field.is_visible():
        keys.press(section.locator("details:has(.caliper) > summary"), "Space")
    keys.write(field, "61,23")
    keys.page.keyboard.press("Enter")  # from field to field, and from the last one on
    keys.press(section.locator(".caliper button").first)
    expect(keys.page.locator("main")).to_contain_text("61.23")


def test_a_customer_is_written_to(keys: Keys) -> None:
    keys.open("/customers/")
    keys.press(keys.link("Tamsin"))
    keys.press(keys.link("Log what was said"))
    expect(keys.page.locator("[name=words]")).to_be_visible()
    keys.choose(keys.page.locator("[name=about]"), "about something else")
    keys.press(keys.page.locator("[name=how]").first, "Space")
    keys.write(keys.page.locator("[name=words]"), "She asked by telephone when it comes.")
    keys.press(keys.button("Note it"))
    expect(keys.page.locator("#said")).not_to_be_empty()


def test_the_list_of_a_dispatch_day_is_ticked(keys: Keys) -> None:
    keys.open("/dispatch/")
    keys.press(keys.link("Pack it"))
    untold = keys.page.locator("main form[action$='/tick/'] button")
    expect(untold.first).to_be_visible()
    before = untold.count()
    keys.press(untold, "Space")
    expect(untold).to_have_count(before - 1)


def test_a_customer_answers_and_asks_on_their_page(keys: Keys) -> None:
    keys.open("/orders/2026-024/")
    address = keys.page.locator("#link-url").input_value()
    keys.open(urlsplit(address).path)
    keys.write(keys.page.locator("main textarea").last, "May it come on a Saturday?")
    keys.press(keys.button("Send the question"))
    expect(keys.page).to_have_url(re.compile("asked=1"))
    keys.press(keys.button("Yes, you may"))
    expect(keys.page.locator("main")).not_to_contain_text("Without your yes we leave it")
