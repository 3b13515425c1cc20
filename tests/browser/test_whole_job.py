"""From an empty shop to the customer's page, with JavaScript and without."""

import re
from email.message import EmailMessage
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from tests import smtp
from tests.browser.job import Person
from tests.machine.conftest import Start, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.server]


def sent_to(mail: smtp.Received, address: str) -> list[EmailMessage]:
    """What left for someone."""
    return [message for message in mail.messages if message["To"] == address]


@pytest.mark.parametrize("scripted", [True, False], ids=["with scripts", "without scripts"])
def test_hilt_goes_from_the_doormat_to_the_post(
    browser: Browser,
    start: Start,
    mail: smtp.Received,
    pictures: list[Path],
    broken_picture: Path,
    scripted: bool,
) -> None:
    shop = start()
    code = (shop.data / "keys" / "setup_code").read_text().strip()
    context = browser.new_context(
        java_script_enabled=scripted, viewport={"width": 820, "height": 1100}
    )
    context.set_default_timeout(15_000)
    shop_address = f"http://127.0.0.1:{shop.port}"
    owner = Person(context.new_page(), shop_address)
    owner.set_up(code)
    owner.name_mail_server(mail.host, mail.port)
    assert wait_until(lambda: sent_to(mail, "oda@larkhill.example")), shop.said
    owner.place_order()
    owner.log_arrival(pictures[:3], scripted=scripted)
    owner.add_with_a_broken_one(pictures[3:6], broken_picture, scripted=scripted)
    owner.note_contents()
    owner.share_first_photo()
    owner.through_the_bench(pictures, scripted=scripted)
    owner.make_the_booklet()
    owner.pack()
    owner.tell_ships_on()
    # A minute in which the move before it can be taken back, and half a minute of the sweep.
    assert wait_until(lambda: sent_to(mail, "ines@example.com"), 100), shop.said
    (letter,) = sent_to(mail, "ines@example.com")
    body = letter.get_body()
    assert body is not None
    text = body.get_content()
    assert "Heron" in text
    link = re.search(r"http://127\.0\.0\.1:\d+/your/order/\S+", text)
    assert link, text
    fresh = browser.new_context(java_script_enabled=scripted).new_page()
    fresh.goto(link[0])
    expect(fresh.locator("main")).to_contain_text("Heron, two-piece")
    expect(fresh.locator("main")).not_to_contain_text("Marlow")
    picture = fresh.locator("main img").first
    expect(picture).to_be_visible()
    assert fresh.request.get(shop_address + (picture.get_attribute("src") or "")).ok
    fresh.locator("main textarea").fill("May it come on a Saturday?")
    fresh.get_by_role("button", name="Send the question").click()
    owner.reads_the_question("May it come on a Saturday?")
    owner.leave_without_a_cell()
    owner.tick_the_list(pictures[7:8], scripted=scripted)
    owner.leaves()
    fresh.goto(link[0])
    expect(fresh.locator("main")).to_contain_text("EX123456789")
    reads_the_booklet(fresh, shop_address)


def reads_the_booklet(phone: Page, shop_address: str) -> None:
    """The customer opens it from the page of the order, in both sizes of type."""
    for words in ("Open the booklet", "Open it in large type"):
        address = phone.get_by_role("link", name=words).get_attribute("href") or ""
        paper = phone.request.get(shop_address + address)
        pages = [page.extract_text() for page in PdfReader(BytesIO(paper.body())).pages]
        assert "Heron, two-piece" in pages[0]
        assert "for Ines" in pages[0]
        assert "Ember" in " ".join(pages)
        assert len(pages) > 4
