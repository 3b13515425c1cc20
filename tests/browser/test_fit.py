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


class Story:
    """A hand at the bench, with one hilt on its way out of teardown."""

    def __init__(self, page: Page, sheet: str) -> None:
        self.page, self.sheet = page, sheet

    def measure_the_grip(self, first: str, across: str) -> None:
        """Two readings of the bore, on the measures page."""
        self.page.goto(self.sheet)
        self.page.get_by_role("link", name="measures").first.click()
        head = self.page.get_by_role("heading", name=re.compile(r"\bgrip$"))
        grip = self.page.locator("section.section", has=head)
        fold = grip.locator("details.caliper-fold")
        if fold.get_attribute("open") is None:
            fold.locator("summary").click()
        grip.locator(".caliper [name=bore]").fill(first)
        grip.locator(".caliper [name=bore_across]").fill(across)
        grip.locator(".caliper button.go").click()
        expect(grip).to_contain_text(min(first, across))

    def take_the_board_off(self) -> None:
        """What was chosen at first goes off the list."""
        self.page.goto(self.sheet + "parts/")
        self.page.locator(".parts-list").get_by_role("link", name="Sound board").first.click()
        off = self.page.locator("#off")
        if (why := off.locator("[name$=because]")).count():
            why.fill("another one is chosen")
        off.get_by_role("button", name="Take it off the list").click()
        self.page.wait_for_load_state()

    def choose_a_board(self, name: str) -> None:
        """Look a part up on the parts page and put it on the list."""
        self.page.goto(self.sheet + "parts/?kind=board&begins=Sound")
        choice = self.page.locator("#choices li", has_text=name)
        choice.get_by_role("button").click()
        expect(self.page.locator(".parts-list")).to_contain_text(name)

    def place_it_on_the_cell(self) -> None:
        """Say on the fit page where it sits."""
        self.page.goto(self.sheet + "fit/")
        place = self.page.locator("#places li", has_text="Sound board").first
        expect(place).to_contain_text("nowhere yet")
        place.locator("[name$=section]").select_option(label="grip")
        place.locator("[name$=position]").fill("4")
        cell = place.locator("[name$=lies_on] option", has_text="Cell").first
        place.locator("[name$=lies_on]").select_option(cell.get_attribute("value"))
        self.page.locator("#places").get_by_role("button", name="Place").click()
        self.page.wait_for_load_state()

    def look_at_both_widths(self) -> None:
        """The numbers of the drawing are the table's, at a desk and on a phone."""
        for width in (1280, 360):
            self.page.set_viewport_size({"width": width, "height": 900})
            assert look_at_numbers(self.page) > 8
            assert self.page.evaluate("document.documentElement.scrollWidth <= innerWidth")

    def decide(self, why: str) -> None:
        """What is left of the gate: full white on paper."""
        self.page.goto(self.sheet + "power/")
        form = self.page.locator(".decide form").first
        form.locator("[name=words]").fill(why)
        form.get_by_role("button").click()
        expect(self.page.locator("main")).to_contain_text("The decision is kept.")


def test_measured_chosen_refused_advised_and_the_build_moves_on(
    browser: Browser, demo: Shop
) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 900})
    page = sign_in(context, demo, OWNER)
    sheet = fit_of(page, demo, "Brindle")
    story, gate = Story(page, sheet), page.locator("#gate")
    story.measure_the_grip("27.30", "27.22")
    story.take_the_board_off()
    story.choose_a_board("Sound board 22.5 × 3.2")
    story.place_it_on_the_cell()
    expect(page.locator("main")).to_contain_text("Does not fit")
    stops = page.locator('[data-code="bore-too-small"]')
    expect(stops).to_contain_text("Sound board over cell is 0.32\u202fmm too much for the grip.")
    story.look_at_both_widths()
    stops.locator("a.why").click()
    page.goto(sheet)
    expect(gate).to_contain_text("too much for the grip")
    page.goto(sheet + "fit/")
    page.locator("li", has_text="Sound board 18 × 3").get_by_role("button").first.click()
    page.wait_for_load_state()
    expect(page.locator("main")).to_contain_text("Everything fits")
    story.look_at_both_widths()
    page.goto(sheet)
    expect(gate.locator("li.is-met", has_text="It fits")).to_have_count(1)
    story.decide("the cap of the board holds it under the limit")
    page.goto(sheet)
    gate.get_by_role("button", name="To install").click()
    expect(gate).to_contain_text("To leave install")
    context.close()
