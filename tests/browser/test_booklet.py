"""The booklet opened on the owner's phone: its text, and where the code on its paper leads."""

import re
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
import typst
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, expect

from tests.machine.conftest import Shop

pytestmark = [pytest.mark.browser, pytest.mark.server]


def test_booklet_is_opened_read_and_its_code_leads_back(
    browser: Browser, demo: Shop, tmp_path: Path
) -> None:
    (link,) = re.findall(r"http://\S+/your/hilt/\S+", demo.said)
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(link)
    address = page.get_by_role("link", name="Open the booklet").get_attribute("href")
    answer = page.request.get(f"http://127.0.0.1:{demo.port}{address}")
    assert answer.headers["content-type"] == "application/pdf"
    booklet = pypdf.PdfReader(BytesIO(answer.body()))
    text = " ".join(sheet.extract_text() for sheet in booklet.pages)
    for words in ("Osier", "How to work it", "Blade on", "Taking it apart", "sea green"):
        assert words in text
    last = pypdf.PdfWriter()
    last.add_page(booklet.pages[-1])
    last.write(tmp_path / "last.pdf")
    sheet, picture = tmp_path / "last.typ", tmp_path / "last.png"
    sheet.write_text('#set page(width: 148mm, height: 210mm, margin: 0mm)\n#image("last.pdf")\n')
    typst.compile(str(sheet), output=str(picture), ppi=150)
    (code,) = zxingcpp.read_barcodes(Image.open(picture).convert("L"))
    page.goto(code.text)
    expect(page.get_by_role("heading", level=1)).to_have_text("Osier")
    context.close()
