"""How a job is agreed, told as the two of them do it: the owner at the desk, Ines on her phone."""

import re
from dataclasses import dataclass
from io import BytesIO

from playwright.sync_api import Browser, Locator, Page, expect
from pypdf import PdfReader

from tests import smtp
from tests.browser.job import Person
from tests.machine.conftest import wait_until

INES = "ines@example.com"
PHONE = {"width": 390, "height": 844}


class Desk(Person):
    """The owner, with quotes and money."""

    def set_rules(self) -> None:
        """Half of it before the work begins, tax in the prices."""
        self.go("/settings/money/")
        fields = {"tax_hundredths": "20", "hour_minor": "42", "deposit_hundredths": "50"}
        for name, value in fields.items():
            self.page.fill(f"[name={name}]", value)
        self.page.fill("[name=how_to_pay]", "By transfer: $amount $currency, name $number.")
        self.tap("Save")
        self.said("Saved.")

    def note_enquiry(self) -> None:
        """Somebody writes and asks."""
        self.go("/enquiries/new/")
        self.page.fill("[name=called]", "Ines")
        self.page.fill("[name=contact]", INES)
        self.page.fill("[name=wishes]", "Full install, two switches, white accent")
        self.page.locator("main form button.go").click()
        self.said("The enquiry is noted.")

    def quote_it(self) -> None:
        """From the enquiry to the draft of a quote."""
        self.tap("Make a quote")
        expect(self.page.locator("[name$=email]")).to_have_value(INES)
        self.page.locator("[name$=full_name]").fill("Ines Marlow")
        self.unfold(self.page.locator("main"), "Address and note, now or later")
        self.page.locator("[name$=address]").fill("1 Example Street\nExampleton")
        self.page.locator("[name$=hilt_name]").fill("Heron, two-piece")
        self.tap("Place it, and write the quote")
        self.said("Now the quote.")
        self.said("Full install, two switches, white accent")

    def line(self, number: int, **typed: str) -> None:
        """Type a line of the draft."""
        for name, value in typed.items():
            field = self.page.locator(f"[name=line-{number}-{name}]")
            if name == "kind":
                field.select_option(value)
            else:
                field.fill(value)

    def write_quote(self) -> None:
        """Hours from so many to so many, the parts, the post."""
        self.line(0, low="6", quantity="8", each="42")
        self.line(1, kind="extra", words="Board, speaker, switch", each="190")
        self.line(2, kind="postage", words="Post, tracked and insured", each="14")
        expect(self.page.locator("#quote-total")).to_contain_text("£456.00 to £540.00")

    def send_quote(self, to_read: str) -> None:
        """Read it as she will, and send it."""
        self.tap("Read it as they will")
        self.said("What they will read")
        self.said(to_read)
        self.tap("Send it to Ines")
        self.said("It stands on the customer's page.")

    def price_change(self) -> None:
        """What the stuck joint costs on top; the rest stands as it was agreed."""
        expect(self.page.locator("[name=minutes_so_far]")).to_have_value("55")
        self.line(3, kind="hours", words="Free the seized coupling", low="1", quantity="2",
                  each="42")  # fmt: skip
        expect(self.page.locator("#quote-total")).to_contain_text("£498.00 to £624.00")

    def note_payment(self, kind: str, amount: str, reference: str) -> None:
        """Money came."""
        self.page.check(f"[name=kind][value={kind}]")
        self.page.fill("#id_amount", amount)
        self.page.select_option("#id_way", "transfer")
        self.page.fill("#id_reference", reference)
        self.tap("Note it")

    def deposit_is_asked(self) -> None:
        """The way out of booked and intake is shut until it came."""
        self.go("/build/1/")
        expect(self.part("gate")).to_contain_text("deposit")

    def note_money(self, kind: str, amount: str) -> None:
        """On the ledger of the only order."""
        self.go("/orders/")
        self.page.locator("main tbody a").first.click()
        self.page.locator("#money a.button").click()
        self.note_payment(kind, amount, "HERON")
        self.said("Noted.")

    def is_held(self) -> None:
        """The bench cannot go on."""
        self.go("/bench/")
        expect(self.page.locator("#row-1")).to_contain_text("On hold")

    def is_free(self) -> None:
        """The answer ended the hold."""
        self.go("/bench/")
        expect(self.page.locator("#row-1")).not_to_contain_text("On hold")

    def choose_air(self) -> None:
        """The shop's services, as shops of the country usually have them; this one flies."""
        self.go("/settings/services/")
        self.tap("Write these down")
        self.go("/parcel/1/")
        travel = self.part("travel")
        flies = travel.locator("[name=service] option", has_text="air").first
        travel.locator("[name=service]").select_option(flies.get_attribute("value") or "")
        self.tap("Keep the service", travel)

    def lay_cell_beside(self, charge: str) -> None:
        """The cell goes beside the hilt, its ends capped, charged so far."""
        self.go("/parcel/1/")
        cells = self.part("cells")
        figures = {"stowage": "packed-with", "terminals": "caps", "chemistry": "ion",
                   "unit": "cell"}  # fmt: skip
        for name, value in figures.items():
            cells.locator(f"[name$=-{name}][value={value}]").check(force=True)
        typed = {"count": "1", "needed": "1", "watt_hours": "11.1", "charge_percent": charge}
        for name, value in typed.items():
            cells.locator(f"[name$=-{name}]").fill(value)
        cells.locator("[name$=-test_summary]").select_option("yes")
        self.tap("Keep the cell", cells)

    def weigh(self, grams: str) -> None:
        """Closed, on the scales."""
        self.go("/parcel/1/")
        weight = self.part("weight")
        self.unfold(weight, "Weigh it")
        weight.locator("[name=gross_g]").fill(grams)
        self.tap("Keep size and weight", weight)

    def discharge_to(self, charge: str) -> None:
        """It is let down, and measured again."""
        cells = self.part("cells")
        fold = cells.locator("article > details").first
        if fold.get_attribute("open") is None:
            fold.locator("summary").first.click()
        cells.locator("[name$=-charge_percent]").fill(charge)
        self.tap("Keep the cell", cells)

    def printed(self, path: str) -> str:
        """The words of a paper that the shop prints as PDF."""
        answer = self.page.request.get(self.base + path)
        assert answer.headers["content-type"] == "application/pdf"
        pages = PdfReader(BytesIO(answer.body())).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())

    def tell_it_left(self) -> None:
        """All who were not told that their parcel left."""
        self.go("/dispatch/tell/")
        self.said("with tracking")
        self.tap("Tell all that are ticked")

    def find_seized(self) -> None:
        """A joint is stuck: the build is held, and the change is priced."""
        self.go("/build/1/change/")
        self.page.fill("[name=because]", "The coupling is seized: an old thread locker.")
        self.page.fill("[name=minutes]", "55")
        self.tap("Hold it, and price the change")
        self.said("It is on hold.")


@dataclass
class Phone:
    """The customer's page on a phone."""

    page: Page

    def part(self) -> Locator:
        """The quote that waits, or was answered last."""
        return self.page.locator("#quote")

    def fits(self) -> None:
        """Nothing stands beside the screen."""
        wide = self.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= PHONE["width"], wide

    def read(self, *words: str) -> None:
        """Open the page anew and read it."""
        self.page.reload()
        self.fits()
        for each in words:
            expect(self.page.locator("main")).to_contain_text(each)

    def ask(self, words: str) -> None:
        """Ask before answering."""
        self.part().get_by_role("link", name="Ask first").click()
        self.page.locator("#question textarea").fill(words)
        self.page.get_by_role("button", name="Send the question").click()
        self.page.wait_for_load_state()

    def accept(self) -> None:
        """Say yes to the words that stand there."""
        self.part().get_by_text("Accept", exact=True).click()
        self.fits()
        self.part().get_by_role("button", name="Yes, I agree").click()
        self.page.wait_for_load_state()
        expect(self.page.locator("main")).to_contain_text("Agreed on")


def letter(mail: smtp.Received, words: str, at_most: float = 100) -> str:
    """The text of the newest letter to Ines in which some words stand."""

    def found() -> list[str]:
        texts = []
        for message in mail.messages:
            body = message.get_body()
            if message["To"] == INES and body is not None and words in body.get_content():
                texts.append(body.get_content())
        return texts

    assert wait_until(lambda: bool(found()), at_most), [m["Subject"] for m in mail.messages]
    return found()[-1]


def phone_with(browser: Browser, text: str) -> Phone:
    """Ines taps the link in a letter."""
    link = re.search(r"http://127\.0\.0\.1:\d+/your/order/\S+", text)
    assert link, text
    page = browser.new_context(viewport=PHONE, is_mobile=True, has_touch=True).new_page()
    page.set_default_timeout(15_000)
    page.goto(link[0])
    return Phone(page)
