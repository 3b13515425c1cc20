"""Money and the parcel: agreed, changed, paid, packed safely, gone, and the customer told."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests import smtp
from tests.browser.agreeing import Desk, letter, phone_with
from tests.machine.conftest import Start

pytestmark = [pytest.mark.browser, pytest.mark.server]


def test_job_is_agreed_changed_paid_packed_and_sent(
    browser: Browser, start: Start, mail: smtp.Received, pictures: list[Path]
) -> None:
    shop = start()
    code = (shop.data / "keys" / "setup_code").read_text().strip()
    context = browser.new_context(viewport={"width": 820, "height": 1100})
    context.set_default_timeout(15_000)
    owner = Desk(context.new_page(), f"http://127.0.0.1:{shop.port}")
    owner.set_up(code)
    owner.name_mail_server(mail.host, mail.port)
    owner.set_rules()
    owner.note_enquiry()
    owner.quote_it()
    owner.write_quote()
    owner.send_quote("£540.00")
    phone = phone_with(browser, letter(mail, "quote"))
    phone.accept()

    # Nothing begins before the deposit is there; then it arrives.
    owner.deposit_is_asked()
    owner.note_money("deposit", "270")
    owner.log_arrival(pictures[:3], scripted=True)
    owner.add_photos(pictures[3:6], scripted=True)
    owner.note_contents()
    owner.open_it_up()

    # A joint is stuck: the bench stops until Ines has answered on her phone.
    owner.find_seized()
    owner.price_change()
    owner.send_quote("£624.00")
    owner.is_held()
    phone.read("The coupling is seized", "£540.00", "£498.00 to £624.00")
    phone.accept()
    owner.is_free()
    owner.from_teardown_on(pictures, scripted=True)

    # The balance, before anything is packed.
    expect(owner.page.locator("#row-1")).to_contain_text("Money is still open")
    phone.read("Still to pay", "£354.00")
    owner.note_money("payment", "354")
    owner.make_the_booklet()
    owner.pack()

    # By air, the cell beside the hilt at 60 %: refused, with what would mend it; then mended.
    owner.choose_air()
    owner.lay_cell_beside("60")
    expect(owner.part("class")).to_contain_text("What would make it allowed")
    expect(owner.part("class")).to_contain_text("30 %")
    expect(owner.page.locator("main")).not_to_contain_text("It may leave.")
    owner.discharge_to("30")
    expect(owner.part("class")).not_to_contain_text("What would make it allowed")
    owner.weigh("820")
    expect(owner.part("class")).to_contain_text("UN3481")
    owner.tick_the_list(pictures[7:8], scripted=True)

    # On paper, read back; then it goes, and Ines reads of it.
    slip = owner.printed("/parcel/1/slip/")
    for words in ("Heron, two-piece", "Ines Marlow", "blade"):
        assert words in slip
    assert "£" not in slip
    assert "Heron, two-piece" in owner.printed("/dispatch/list/")
    owner.leaves()
    owner.tell_it_left()
    told = letter(mail, "EX123456789")
    assert "Heron, two-piece" in told
    phone.read("EX123456789")
    expect(phone.page.locator("main")).to_contain_text("thank you")
