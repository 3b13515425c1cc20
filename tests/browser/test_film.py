"""A film over a connection that breaks, its chapters by keyboard, and its owner's phone."""

import hashlib
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from tests import films
from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.server]
PADDING = 30_000_000  # a WebM's own filling: played past, sent all the same
BUILD = "Weir House"  # whose customer's page the demo prints
PLAYED = "document.querySelector('video[data-film]').currentTime"
CUES = """() => {
    const track = document.querySelector("video[data-film]").textTracks[0];
    track.mode = "hidden";
    return [...(track.cues || [])].map((cue) => [cue.startTime, cue.text]);
}"""


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's film, made large by an EBML Void that no player looks into."""
    path = tmp_path_factory.mktemp("film") / "weir-house.webm"
    void = b"\xec\x01" + PADDING.to_bytes(7, "big") + hashlib.shake_128(b"film").digest(PADDING)
    path.write_bytes(films.real() + void)
    return path


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 1024, "height": 900})
    context.set_default_timeout(60_000)
    yield context
    context.close()


def film_page(page: Page, shop: Shop) -> str:
    """The film page of the build, with no film on it."""
    page.goto(f"http://127.0.0.1:{shop.port}/find/?q={BUILD.replace(' ', '+')}")
    sheet = page.locator("a[href^='/build/']").first.get_attribute("href")
    address = f"http://127.0.0.1:{shop.port}{sheet}film/"
    page.goto(address)
    page.get_by_text("Take this film off").click()
    page.get_by_role("button", name="Take it off").click()
    expect(page.get_by_role("heading", name="Put the film here")).to_be_visible()
    return address


class Cuts:
    """Lets pieces through, but breaks the connection at one and kills the server at another."""

    def __init__(self, shop: Shop, reset_at: int, kill_at: int) -> None:
        self.shop, self.reset_at, self.kill_at = shop, reset_at, kill_at
        self.offsets: list[int] = []

    def __call__(self, route: Route) -> None:
        if route.request.method != "PATCH":
            return route.continue_()
        self.offsets.append(int(route.request.headers["upload-offset"]))
        count = len(self.offsets)
        if count == self.reset_at:
            return route.abort("connectionreset")
        if count == self.kill_at:
            for pid in self.shop.children("granian"):
                os.kill(pid, signal.SIGKILL)
        return route.continue_()


def test_film_goes_on_after_every_cut_and_plays_on_the_phone(
    context: BrowserContext, browser: Browser, demo: Shop, film: Path
) -> None:
    page = sign_in(context, demo, "oda@larkhill.example")
    address = film_page(page, demo)

    # The page is closed after two pieces: what came stays.
    first = Cuts(demo, reset_at=99, kill_at=99)
    page.route("**/uploads/**", lambda r: first(r) if len(first.offsets) < 2 else r.abort())
    page.set_input_files("[name=film]", film)
    page.get_by_role("button", name="Keep the film").click()
    expect(page.locator("[data-said]")).to_contain_text("The connection is lost")
    page.unroute("**/uploads/**")
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(address)
    expect(page.get_by_text("Choose the same file again: it goes on.")).to_be_visible()

    # The same file again: from where it was, through a reset and a server that is killed.
    cuts = Cuts(demo, reset_at=2, kill_at=4)
    page.route("**/uploads/**", cuts)
    page.set_input_files("[name=film]", film)
    page.get_by_role("button", name="Keep the film").click()
    expect(page.locator("video[data-film]")).to_be_visible(timeout=120_000)
    page.unroute("**/uploads/**")
    assert cuts.offsets[0] == first.offsets[-1] + 4 * 1024 * 1024
    assert cuts.offsets[1] == cuts.offsets[2]  # the piece that was reset, once more
    assert len(cuts.offsets) > 5
    assert wait_until(demo.is_open)

    _chapters_by_keyboard(page)
    _a_still(page)
    page.get_by_role("button", name="Publish it").click()
    expect(page.locator("#film-stands")).to_contain_text("sees it since")
    kept = _on_the_phone(browser, demo)
    assert kept == hashlib.sha256(film.read_bytes()).hexdigest()


def test_page_sends_another_film_after_a_wrong_one_and_after_signing_in_anew(
    context: BrowserContext, demo: Shop, film: Path, tmp_path: Path
) -> None:
    page = sign_in(context, demo, "oda@larkhill.example")
    film_page(page, demo)
    said, keep = page.locator("[data-said]"), page.get_by_role("button", name="Keep the film")
    page.on("dialog", lambda dialog: dialog.accept())

    # No film at all.
    wrong = tmp_path / "page.webm"
    wrong.write_bytes(b"<html>" * 9_999)
    page.set_input_files("[name=film]", wrong)
    keep.click()
    expect(said).to_contain_text("This is not a film")

    # A film that is stopped after its first piece; the shop then answers what cannot be.
    first = Cuts(demo, reset_at=99, kill_at=99)
    page.route("**/uploads/**", lambda r: first(r) if not first.offsets else r.abort())
    page.set_input_files("[name=film]", film)
    keep.click()
    expect(said).to_contain_text("The connection is lost")
    page.get_by_role("button", name="Stop for now").click()
    expect(said).to_contain_text("Stopped.")
    page.unroute("**/uploads/**")
    page.route("**/uploads/**", _never_further)
    keep.click()
    expect(said).to_contain_text("That did not work.")
    page.unroute("**/uploads/**")

    # Another film on the same page; whoever sends it is signed out and signs in on another page.
    other = tmp_path / "other.webm"
    other.write_bytes(films.real() + film.read_bytes()[-9_000_000:])
    sent: list[int] = []

    def signed_out(route: Route) -> None:
        if route.request.method == "PATCH":
            sent.append(int(route.request.headers["upload-offset"]))
            if len(sent) == 2:
                context.clear_cookies()
                return route.abort("connectionreset")
        return route.continue_()

    page.route("**/uploads/**", signed_out)
    page.set_input_files("[name=film]", other)
    keep.click()
    expect(said).to_contain_text("You were signed out.")
    sign_in(context, demo, "oda@larkhill.example")
    expect(page.locator("video[data-film]")).to_be_visible(timeout=120_000)
    assert sent[0] == 0
    assert sent[1] == sent[2]


def _never_further(route: Route) -> None:
    if route.request.method != "PATCH":
        return route.continue_()
    offset = int(route.request.headers["upload-offset"])
    return route.fulfill(status=409, json={"received": offset})


def _seek(page: Page, seconds: float) -> None:
    page.evaluate(
        """(at) => new Promise((done) => {
            const video = document.querySelector("video[data-film]");
            video.addEventListener("seeked", done, { once: true });
            video.currentTime = at;
        })""",
        seconds,
    )


def _chapters_by_keyboard(page: Page) -> None:
    titles = []
    for at, second in enumerate((0.5, 4, 8.25)):
        _seek(page, second)
        titles.append(page.locator("form[data-chapter] [name=title]").input_value())
        page.locator("video[data-film]").focus()
        page.keyboard.press("c")
        expect(page.locator(".film-chapters > li")).to_have_count(at + 1)
    assert len(set(titles)) == 3  # named in turn from the shot list
    shown = page.locator(".film-chapters .seek span:last-child").all_inner_texts()
    assert shown == titles
    # Chromium's own reader of WebVTT has them as they were typed.
    assert wait_until(lambda: len(page.evaluate(CUES)) == 3)
    cues = page.evaluate(CUES)
    assert [text for _at, text in cues] == titles
    assert [at for at, _text in cues] == [0.5, 4, 8.2]


def _a_still(page: Page) -> None:
    _seek(page, 9)
    page.get_by_role("button", name="Take the moment shown").click()
    expect(page.locator("img.film-poster")).to_be_visible()


def _on_the_phone(browser: Browser, demo: Shop) -> str:
    """Plays it on the customer's page; the SHA-256 of what they keep."""
    link = re.search(r"http://\S+/your/order/\S+", demo.said)
    assert link
    phone = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True)
    page = phone.new_page()
    page.goto(link[0])
    video = page.locator("video[data-film]")
    video.scroll_into_view_if_needed()
    page.evaluate("document.querySelector('video[data-film]').muted = true")
    page.locator(".film-chapters a[data-seek]").nth(2).tap()
    assert wait_until(lambda: page.evaluate(PLAYED) > 8.6)
    current = page.locator(".film-chapters a[aria-current]")
    expect(current).to_have_text(re.compile(r"^0:08\.2"))
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    copy = page.get_by_role("link", name="Keep a copy").get_attribute("href")
    with page.expect_download() as kept:
        page.locator(f"a[href='{copy}']").click()
    digest = hashlib.sha256(Path(kept.value.path()).read_bytes()).hexdigest()
    assert kept.value.suggested_filename.startswith("weir-house-")
    phone.close()
    return digest
