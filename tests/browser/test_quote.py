"""From an enquiry to a yes: the quote's own page, and the customer's phone."""

import pytest
from playwright.sync_api import Browser, expect

from tests import smtp
from tests.browser.agreeing import Desk, letter, phone_with
from tests.machine.conftest import Start

pytestmark = [pytest.mark.browser, pytest.mark.server]


def test_enquiry_becomes_a_quote_that_is_asked_about_and_accepted(
    browser: Browser, start: Start, mail: smtp.Received
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
    phone.read("£456.00 to £540.00", "Full install, two switches", "As long as you do not answer")
    phone.ask("Is the charger in it?")
    owner.reads_the_question("Is the charger in it?")
    phone.read("your answer, please")  # a question is no answer
    phone.accept()
    phone.read("£270.00", "By transfer: 270.00 GBP")
    owner.go("/orders/")
    owner.page.locator("main a.num, main tbody a").first.click()
    owner.tap("Quote")
    owner.said("on the customer's page")
    owner.page.go_back()
    owner.tap("Note a payment")
    owner.note_payment("deposit", "270", "4111 1111 1111 1111")
    owner.said("That looks like the number of a card")
    expect(owner.page.locator("#id_amount")).to_have_value("270")
    owner.page.fill("#id_reference", "HERON 1")
    owner.tap("Note it")
    owner.said("HERON 1")
    phone.read("Still to pay")
    expect(phone.page.locator("main")).not_to_contain_text("Deposit, to pay now")
