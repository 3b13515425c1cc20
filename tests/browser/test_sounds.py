"""Sound sets in the browser: five planted faults are named; a card is summed where it lies."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop
from tests.sounds.making import as_float, sine, wave, with_chunk, zipped

pytestmark = [pytest.mark.browser, pytest.mark.server]
HUM = wave(sine(-24.0, rate=22_050), rate=22_050)
PLANTED = {
    "hum.wav": HUM,
    "hum2.wav.wav": HUM,
    "swing1.wav": as_float(sine(rate=22_050), rate=22_050),
    "swing2.wav": HUM[:-2000],
    "clash1.wav": with_chunk(b"LIST", b"INFOIART\x04\0\0\0who\0", HUM),
    "clash2.wav": wave(np.clip(sine(6.0, rate=22_050), -1, 1), rate=22_050),
}
NAMED = {
    "Double ending": "hum2.wav.wav",
    "Floating point": "swing1.wav",
    "Cut off": "swing2.wav",
    "Stray metadata": "clash1.wav",
    "Clipped": "clash2.wav",
}
LISTED = "Weir House"  # a build of the demo whose card is listed


@pytest.fixture
def page(browser: Browser, demo: Shop) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 820, "height": 1100})
    context.set_default_timeout(30_000)
    yield sign_in(context, demo, "jory@larkhill.example")
    context.close()


def test_five_planted_faults_are_each_named(page: Page, demo: Shop, tmp_path: Path) -> None:
    archive = tmp_path / "Planted.zip"
    archive.write_bytes(zipped(PLANTED))
    page.goto(f"http://127.0.0.1:{demo.port}/sounds/new/")
    page.set_input_files("[name=sounds]", archive)
    page.get_by_text("the shop’s own work").click()
    page.get_by_role("button", name="Keep the set").click()
    expect(page.locator("h1")).to_have_text("Planted")
    page.get_by_role("link", name="See what is found").click()
    for called, path in NAMED.items():
        finding = page.locator(".finding", has=page.get_by_role("heading", name=called))
        expect(finding).to_contain_text(path)
    expect(page.locator(".finding")).to_have_count(len(NAMED))
    page.get_by_role("button", name="Make the copy").click()
    page.get_by_role("link", name="See what is found").click()
    expect(page.locator("#found")).to_contain_text("Clipped")  # no copy mends what was cut off
    expect(page.locator(".finding")).to_have_count(1)


def test_card_is_summed_in_the_browser(page: Page, demo: Shop, tmp_path: Path) -> None:
    page.goto(f"http://127.0.0.1:{demo.port}/find/?q={LISTED}")
    page.get_by_role("link", name="Open sheet").first.click()
    page.goto(page.url.rstrip("/") + "/card/")
    card = tmp_path / "card"
    (card / "01_Ember").mkdir(parents=True)
    (card / "01_Ember" / "hum.wav").write_bytes(b"another hum")
    (card / "notes.txt").write_bytes(b"of nobody's")
    page.set_input_files("#card-folder", card)
    check = page.locator("#check")
    expect(check).to_contain_text("The card is not as its list.")
    expect(check).to_contain_text("01_Ember/hum.wav")
    expect(check.get_by_role("heading", name="Changed")).to_contain_text("1")
    expect(check.get_by_role("heading", name="Extra")).to_contain_text("1")
