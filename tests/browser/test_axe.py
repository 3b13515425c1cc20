"""Every page of a demo shop: no serious fault for those who read it otherwise, nothing too wide."""

import re
from collections import deque
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, resolve
from playwright.sync_api import APIRequestContext, Browser, Page

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop
from tests.test_access import PAGES, address

pytestmark = [pytest.mark.browser, pytest.mark.server]
WIDTHS = (360, 820, 1280)
JUDGED = (360, 1280)  # the widths that axe looks at
AXE = Axe().axe_script
# How many addresses of one page are looked at: a sheet is another one in every stage.
MOST = {"bench_sheet": 8, "bench_arrival": 3, "bench_tell": 2, "bench_dispatch": 2,
        "handover_film": 12}  # fmt: skip
# Where an answer is given: a look, with a link that is known, is led on to the order's page.
ANSWERED = {"visitor_quote", "visitor_consent", "visitor_sounds", "visitor_return"}
OF_WHAT_LEFT = {"visitor_booklet"}  # a PDF; the order that the demo names is still here
ASKED_BY_SCRIPT = {"files_upload"}  # how far an upload is: numbers, no page
READ_BY_CALENDARS = {"feeds_read"}  # text, no page
UNDER_HTTPS = {"later_worker"}  # a script, and not there without
NO_PAGES = ANSWERED | OF_WHAT_LEFT | ASKED_BY_SCRIPT | READ_BY_CALENDARS | UNDER_HTTPS
GRAVE = {"serious", "critical"}
ALL: dict[str, Any] = {"resultTypes": ["violations"]}
COLOURS = ALL | {"runOnly": ["color-contrast", "link-in-text-block"]}  # what a dark page changes


@dataclass
class Tour:
    """The pages that somebody finds in the shop, by their names in the URL map."""

    base: str
    state: Any
    pages: dict[str, list[str]] = field(default_factory=dict)
    others: dict[str, str] = field(default_factory=dict)

    def walk(self, ask: APIRequestContext, starts: list[str]) -> None:
        """Ask for each start, and for what the pages link to, until each name has enough."""
        waiting, seen = deque(starts), set(starts)
        while waiting:
            path = waiting.popleft()
            name = _name(path)
            if not name or len(self.pages.get(name, [])) >= MOST.get(name, 1):
                continue
            answer = ask.get(self.base + path, max_redirects=0)
            kind = answer.headers.get("content-type", "")
            if answer.status not in {200, 410} or not kind.startswith("text/html"):
                self.others[name] = f"{answer.status} {kind}"
                continue
            self.pages.setdefault(name, []).append(path)
            for link in _links(answer.text()):
                if link not in seen:
                    seen.add(link)
                    waiting.append(link)

    @property
    def paths(self) -> list[str]:
        """The addresses, in the order of the map."""
        return [path for name in sorted(self.pages) for path in self.pages[name]]


def _links(text: str) -> list[str]:
    found = [link.split("#")[0] for link in re.findall(r'href="(/[^"]*)"', text)]
    return [link.replace("&amp;", "&") for link in found if not link.startswith("/static/")]


def _name(path: str) -> str:
    try:
        return str(resolve(urlsplit(path).path).url_name)
    except Resolver404:
        return ""


@pytest.fixture(scope="module")
def tours(browser: Browser, demo: Shop) -> list[Tour]:
    """What the owner finds, and what a stranger finds, with customers' links in hand."""
    base = f"http://127.0.0.1:{demo.port}"
    links = re.findall(r"https?://[^/]+(/your/(?:order|hilt)/\S+)", demo.said)
    assert len(links) == 2, demo.said
    starts = ["/", *(address(name) for name in PAGES)]
    made = []
    for is_owner in (True, False):
        with closing(browser.new_context()) as context:
            if is_owner:
                sign_in(context, demo, "oda@larkhill.example")
            tour = Tour(base, context.storage_state())
            tour.walk(context.request, starts if is_owner else [*links, *starts])
            made.append(tour)
    return made


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
