"""Every page at twice and four times its size, with large letters, in forced colours, at rest."""

from collections.abc import Collection, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.tour import Tour
from tests.conftest import BROWSER_FLAGS
from tests.servers import browser_program

pytestmark = [pytest.mark.browser, pytest.mark.server]
LAID_OUT = (Path(__file__).parent / "laid_out.js").read_text("utf-8")
# A screen of 1280 px, magnified so often: what is left of its width (WCAG 1.4.4 and 1.4.10).
ZOOMED = {200: 640, 400: 320}
LARGE_LETTERS = "--blink-settings=defaultFontSize=32"  # twice as large as browsers have them
SOME = {
    "bench_today", "bench_bench", "bench_sheet", "desk_settings", "desk_order", "visitor_order",
}  # fmt: skip
UNDRAWN = """() => [...document.querySelectorAll('.button, input, select, textarea')]
  .filter(e => e.checkVisibility() && e.type !== 'hidden' && !e.closest('.unseen, .camera') &&
    !e.matches('.quiet, [type=checkbox], [type=radio], [type=file], [type=image]') &&
    getComputedStyle(e).borderStyle === 'none')
  .map(e => e.outerHTML.slice(0, 120))"""
MOVES = """() => [...document.querySelectorAll('*')].filter(e => {
  const style = getComputedStyle(e);
  return [...style.transitionDuration.split(','), ...style.animationDuration.split(',')]
    .some(time => parseFloat(time) > 0.05); }).map(e => e.outerHTML.slice(0, 80))"""


@dataclass
class Looked:
    """What did not fit, by the size of the page."""

    faults: dict[int, list[str]] = field(default_factory=lambda: {size: [] for size in ZOOMED})


def _pages(
    browser: Browser, tours: list[Tour], names: Collection[str] = (), **options: Any
) -> Iterator[tuple[Page, str]]:
    """Each page of each tour, one after the other; with names, those alone."""
    for tour in tours:
        context = browser.new_context(storage_state=tour.state, reduced_motion="reduce", **options)
        with closing(context):
            page = context.new_page()
            for path in tour.paths_of(names):
                page.goto(tour.base + path)
                yield page, path


@pytest.fixture(scope="module")
def looked(browser: Browser, tours: list[Tour]) -> Looked:
    """A look at every page: each is opened once, then made narrower."""
    found = Looked()
    for page, path in _pages(browser, tours):
        for percent, width in ZOOMED.items():
            page.set_viewport_size({"width": width, "height": 90_000 // percent})
            faults = page.evaluate(LAID_OUT)
            found.faults[percent] += [f"{path}: {fault}" for fault in faults]
    return found


@pytest.mark.parametrize("percent", ZOOMED)
def test_every_page_fits_magnified(looked: Looked, percent: int) -> None:
    assert looked.faults[percent] == []


def test_every_page_fits_with_letters_twice_as_large(browser: Browser, tours: list[Tour]) -> None:
    options: Any = {"executable_path": browser_program(), "args": [*BROWSER_FLAGS, LARGE_LETTERS]}
    with closing(browser.browser_type.launch(**options)) as large:
        found = [
            f"{path}: {fault}"
            for page, path in _pages(large, tours, viewport={"width": 1280, "height": 900})
            for fault in page.evaluate(LAID_OUT)
        ]
    assert found == []


def test_what_can_be_done_is_drawn_in_forced_colours_too(
    browser: Browser, tours: list[Tour]
) -> None:
    pages = _pages(browser, tours, SOME, forced_colors="active")
    assert [f"{path}: {what}" for page, path in pages for what in page.evaluate(UNDRAWN)] == []


def test_nothing_moves_for_who_wants_it_still(browser: Browser, tours: list[Tour]) -> None:
    pages = _pages(browser, tours, SOME)
    assert [f"{path}: {what}" for page, path in pages for what in page.evaluate(MOVES)] == []
