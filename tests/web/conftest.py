"""The gallery served by the real application."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from shop.env import BASE_DIR
from shop.house.models import House


@pytest.fixture
def gallery(settings: Settings) -> None:
    """The gallery in place of the shop's own addresses."""
    settings.ROOT_URLCONF = "tests.web.gallery_urls"
    first, *others = settings.TEMPLATES
    folders = [*first["DIRS"], BASE_DIR / "tests" / "web"]
    settings.TEMPLATES = [{**first, "DIRS": folders}, *others]


@pytest.fixture
def gallery_url(browser: Browser, gallery: None, house: House, live_server: LiveServer) -> str:
    return str(live_server.url)


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 390, "height": 800})
    yield context.new_page()
    context.close()
