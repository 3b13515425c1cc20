"""The printed tag as it leaves the browser: one label, and a phone can read it."""

from pathlib import Path

import pypdf
import pytest
import typst
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser

from tests.browser.conftest import sign_in
from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]
POINTS_A_MM = 72 / 25.4


def drawn(label: Path) -> Image.Image:
    """The first page of a PDF, as a label printer of 203 dots an inch draws it."""
    sheet = label.with_suffix(".typ")
    sheet.write_text(f'#set page(width: 62mm, height: 40mm, margin: 0mm)\n#image("{label.name}")\n')
    picture = label.with_suffix(".png")
    typst.compile(str(sheet), output=str(picture), ppi=203)
    return Image.open(picture)


def test_tag_fills_one_label_and_its_code_is_read(
    browser: Browser, demo: Shop, tmp_path: Path
) -> None:
    context = browser.new_context()
    page = sign_in(context, demo, "oda@larkhill.example")
    page.goto(f"http://127.0.0.1:{demo.port}/build/1/tag/")
    page.pdf(path=tmp_path / "tag.pdf", prefer_css_page_size=True)
    context.close()
    (sheet,) = pypdf.PdfReader(tmp_path / "tag.pdf").pages
    size = sheet.mediabox.width / POINTS_A_MM, sheet.mediabox.height / POINTS_A_MM
    assert size == pytest.approx((62, 40), abs=0.3)
    picture = drawn(tmp_path / "tag.pdf").convert("L")
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text.endswith("/build/1/")
    down = [int(picture.getpixel((picture.width // 2, y))) for y in range(picture.height)]
    assert (min(down[:4]), min(down[-4:])) == (0, 0), "its frame, above and below"
