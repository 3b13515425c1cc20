"""The whole vocabulary in Chromium: legible to every reader, kept by the strict policy."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDTHS = (360, 820, 1280)


@pytest.fixture(params=["light", "dark"])
def scheme_tab(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    context = browser.new_context(color_scheme=request.param)
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("address", ["/bench/?said=1", "/visitor/"])
def test_every_part_is_clean_for_assistive_tools(
    gallery_url: str, scheme_tab: Page, address: str
) -> None:
    for width in WIDTHS:
        scheme_tab.set_viewport_size({"width": width, "height": 900})
        scheme_tab.goto(gallery_url + address)
        result = Axe().run(scheme_tab)
        assert result.violations_count == 0, result.generate_report()


@pytest.mark.parametrize("address", ["/bench/?said=1", "/visitor/"])
def test_no_page_is_wider_than_its_screen(gallery_url: str, tab: Page, address: str) -> None:
    for width in (320, *WIDTHS):
        tab.set_viewport_size({"width": width, "height": 900})
        tab.goto(gallery_url + address)
        assert tab.evaluate("document.documentElement.scrollWidth") <= width


def test_the_policy_stops_nothing_of_ours(gallery_url: str, tab: Page) -> None:
    complaints: list[str] = []
    tab.on("console", lambda said: complaints.append(said.text))
    tab.on("pageerror", lambda error: complaints.append(str(error)))
    tab.goto(gallery_url + "/bench/")
    assert tab.evaluate("htmx.config.allowEval") is False
    assert complaints == []


def test_both_faces_of_the_type_are_loaded(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.evaluate("document.fonts.ready")
    loaded = tab.evaluate(
        "[...new Set([...document.fonts].filter(f => f.status == 'loaded').map(f => f.family))]"
    )
    assert {name.strip('"') for name in loaded} == {"Hyperlegible Next", "Hyperlegible Mono"}


def test_buttons_are_big_enough_for_a_glove(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    small = tab.evaluate(
        "[...document.querySelectorAll('main .button, main .choice, .bar a, .bar summary')]"
        ".filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 48)"
        ".map(e => e.textContent)"
    )
    assert small == []


def test_a_flag_is_big_enough_to_hit(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    box = tab.locator(".flag").first.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 24


def test_rows_stand_in_columns_where_there_is_room(gallery_url: str, tab: Page) -> None:
    tab.set_viewport_size({"width": 1280, "height": 900})
    tab.goto(gallery_url + "/bench/")
    places = tab.evaluate(
        "[...document.querySelectorAll('.row-date')].map(e => e.getBoundingClientRect().left)"
    )
    assert len(set(places)) == 1


def test_paper_shows_the_work_and_not_the_frame(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.emulate_media(media="print")
    expect(tab.locator("header.top")).to_be_hidden()
    expect(tab.locator("nav.bar")).to_be_hidden()
    expect(tab.locator(".row").first).to_be_visible()


def test_paper_is_wide_enough_for_the_rule_of_days(gallery_url: str, tab: Page) -> None:
    tab.set_viewport_size({"width": 688, "height": 900})  # A4 within its margins
    tab.goto(gallery_url + "/bench/")
    tab.emulate_media(media="print")
    assert tab.evaluate("document.documentElement.scrollWidth") <= 688


def test_tag_for_a_tray_has_the_size_of_the_label(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.emulate_media(media="print")
    box = tab.locator(".print-tag").bounding_box()
    assert box is not None
    millimetres = [round(box[side] / 96 * 25.4) for side in ("width", "height")]
    assert millimetres == [62, 40]
