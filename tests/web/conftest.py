"""A Chromium for the tests of this room, and the gallery served by the real application."""

import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from shop.env import BASE_DIR
from shop.house.models import House

QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    path = shutil.which("chromium") or shutil.which("google-chrome")
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as play:
        # Playwright's loop runs in this thread, where Django would refuse the database.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        browser = play.chromium.launch(executable_path=path, args=QUIET)
        yield browser
        browser.close()


@pytest.fixture
def gallery(settings: Settings) -> None:
    """The gallery in place of the shop's own addresses."""
    settings.ROOT_URLCONF = "tests.web.gallery_urls"
    first, *others = settings.TEMPLATES
    folders = [*first["DIRS"], BASE_DIR / "tests" / "web"]
    settings.TEMPLATES = [{**first, "DIRS": folders}, *others]


@pytest.fixture
def gallery_url(chromium: Browser, gallery: None, house: House, live_server: LiveServer) -> str:
    return str(live_server.url)


@pytest.fixture
def tab(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 390, "height": 800})
    yield context.new_page()
    context.close()
