"""A shop that runs from the command line, and the mail server that it sends to."""

import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from pillow_heif import register_heif_opener
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests import smtp
from tests.browser.tour import Tour
from tests.machine.conftest import Shop, running
from tests.machine.conftest import ready as ready
from tests.machine.conftest import start as start  # the same shop, driven by hand there
from tests.test_access import PAGES, address

# How long an answer may take: two databases are tested at once, on what may be two cores.
expect.set_options(timeout=30_000)


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """One demo shop for all tests; what one of them does to it, the others find done."""
    with running(tmp_path_factory.mktemp("demo"), "shop", "--demo") as shop:
        yield shop


def sign_in(context: BrowserContext, shop: Shop, email: str) -> Page:
    """A page of the demo shop, signed in as one of its people."""
    phrase = re.search(rf"{email}\s+(\S+)", shop.said)
    assert phrase, shop.said
    page = context.new_page()
    page.goto(f"http://127.0.0.1:{shop.port}/sign-in/")
    page.fill("[name=email]", email)
    page.fill("[name=password]", phrase[1])
    page.locator("main button").first.click()
    page.wait_for_load_state()
    return page


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


@pytest.fixture
def mail() -> Iterator[smtp.Received]:
    """The server that the shop sends through."""
    with smtp.running() as server:
        yield server


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Photos as a phone would have them: JPEG with a place in it, and PNG."""
    register_heif_opener()
    folder = tmp_path_factory.mktemp("pictures")
    return [_drawn(folder / name, shade) for shade, name in enumerate(NAMES)]


NAMES = ("shut.jpg", "open.jpg", "laid.png", "side-a.jpg", "side-b.jpg", "bore.heic", "wired.jpg",
         "packed.jpg")  # fmt: skip


def _drawn(path: Path, shade: int) -> Path:
    image = Image.new("RGB", (1200, 900), (120 + 12 * shade, 130, 140))
    ImageDraw.Draw(image).rectangle((200, 350, 900 + shade * 10, 550), fill=(60, 70, 80))
    exif = Image.Exif()
    exif[0x0110] = "a phone"
    exif.get_ifd(0x8825)[1] = "N"
    image.save(path, exif=exif)
    return path


@pytest.fixture(scope="session")
def broken_picture(pictures: list[Path]) -> Path:
    """A photo that was cut off on its way."""
    path = pictures[0].with_name("cut-off.jpg")
    path.write_bytes(pictures[0].read_bytes()[:6000])
    return path
