"""Every page of a demo shop: no serious fault for those who read it otherwise, nothing too wide."""

import re
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.tour import NO_PAGES, Tour
from tests.test_access import PAGES

pytestmark = [pytest.mark.browser, pytest.mark.server]
WIDTHS = (360, 820, 1280)
JUDGED = (360, 1280)  # the widths that axe looks at
AXE = Axe().axe_script
GRAVE = {"serious", "critical"}
ALL: dict[str, Any] = {"resultTypes": ["violations"]}
COLOURS = ALL | {"runOnly": ["color-contrast", "link-in-text-block"]}  # what a dark page changes


@dataclass
class Looked:
    """What was wrong with the pages: serious faults by width, and what was too wide."""

    faults: dict[int, list[str]] = field(default_factory=lambda: {width: [] for width in JUDGED})
    too_wide: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def looked(browser: Browser, tours: list[Tour]) -> Looked:
    """A look at every page: each is opened once, then made wider, light and dark."""
    found = Looked()
    for tour in tours:
        # No colour is caught halfway.
        options: Any = {"reduced_motion": "reduce", "storage_state": tour.state}
        with closing(browser.new_context(**options)) as context:
            page = context.new_page()
            for path in tour.paths:
                _look(page, tour.base, path, found)
    return found


def _look(page: Page, base: str, path: str, found: Looked) -> None:
    page.set_viewport_size({"width": WIDTHS[0], "height": 900})
    page.goto(base + path)
    page.evaluate(AXE)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        found.too_wide += [f"{path} at {width}: {over} px"] * (over > 0)
        if width in JUDGED:
            page.emulate_media(color_scheme="light")
            found.faults[width] += [f"{path}: {fault}" for fault in grave_faults(page, ALL)]
            page.emulate_media(color_scheme="dark")
            dark = grave_faults(page, COLOURS)
            found.faults[width] += [f"{path}, dark: {fault}" for fault in dark]
    page.emulate_media(color_scheme="light")


def grave_faults(page: Page, options: dict[str, Any]) -> list[str]:
    """What axe finds serious or critical, with the first element that has it."""
    found = page.evaluate("options => axe.run(options).then(said => said.violations)", options)
    return [
        f"{each['id']} × {len(each['nodes'])}, as {each['nodes'][0]['html'][:160]}"
        for each in found
        if each["impact"] in GRAVE
    ]


def test_tour_leaves_no_page_out(tours: list[Tour]) -> None:
    toured = {name for tour in tours for name in tour.pages}
    # A deed is not looked at, a picture is no page, and what is over leads elsewhere.
    left_out = {
        name: [tour.others.get(name, "never asked") for tour in tours]
        for name in PAGES.keys() - toured - NO_PAGES
        if not any(re.match("405|30|200", tour.others.get(name, "")) for tour in tours)
    }
    assert left_out == {}


@pytest.mark.parametrize("width", JUDGED)
def test_no_page_has_a_serious_fault_light_or_dark(looked: Looked, width: int) -> None:
    assert looked.faults[width] == []


def test_no_page_is_wider_than_its_screen(looked: Looked) -> None:
    assert looked.too_wide == []
