"""The whole job, told as a person does it: one class, one method a stretch of the work."""

import re
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

OWNER = "oda@larkhill.example"
PHRASE = "seven quiet anvils"


@dataclass
class Person:
    """The owner at a screen."""

    page: Page
    base: str

    def go(self, path: str) -> None:
        """Open an address of the shop."""
        self.page.goto(self.base + path)

    def tap(self, words: str, inside: Locator | None = None) -> None:
        """Tap a button or a link by its words."""
        place = inside or self.page.locator("main")
        name = re.compile(re.escape(words))
        place.get_by_role("button", name=name).or_(
            place.get_by_role("link", name=name)
        ).first.click()
        self.page.wait_for_load_state()

    def part(self, name: str) -> Locator:
        """A part of a page by its id, unfolded."""
        return self.page.locator(f"#{name}")

    def unfold(self, part: Locator, words: str) -> None:
        """Open a fold unless it is open."""
        fold = part.locator("details", has=self.page.get_by_text(words, exact=True)).first
        if fold.get_attribute("open") is None:
            fold.locator("summary").first.click()

    def said(self, words: str) -> None:
        """Expect that the page says something."""
        expect(self.page.locator("main")).to_contain_text(words)

    # The stretches of the work, in their order.

    def set_up(self, code: str) -> None:
        """First set-up of an empty shop."""
        self.go("/")
        self.page.fill("[name=code]", code)
        self.page.fill("[name=name]", "Larkhill Works")
        self.page.fill("[name=owner-name]", "Oda")
        self.page.fill("[name=owner-email]", OWNER)
        for field in ("password", "again"):
            self.page.fill(f"[name=owner-{field}]", PHRASE)
        for weekday in range(7):  # Every day, so that the test is the same on each of them.
            self.page.fill(f"[name=opens_{weekday}]", "08:00")
            self.page.fill(f"[name=closes_{weekday}]", "18:00")
            self.page.check(f"[name=dispatches_{weekday}]")
        self.page.uncheck("[name=closed_on_holidays]")
        self.tap("Set up the shop")
        self.said("Nothing wants you")

    def name_mail_server(self, host: str, port: int) -> None:
        """Say where mail leaves and what the shop's mailbox is, and send a test mail."""
        self.go("/settings/")
        self.page.fill("[name=email]", "bench@larkhill.example")
        self.tap("Save")
        self.said("Saved.")
        self.go("/settings/addresses/")
        self.page.fill("[name=public_url]", self.base)
        self.tap("Save")
        self.said("Saved.")
        self.go("/settings/mail/")
        self.page.fill("[name=host]", host)
        self.page.fill("[name=port]", str(port))
        self.page.select_option("[name=security]", "none")
        self.tap("Save")
        self.said("Saved.")
        self.page.fill("[name=to]", OWNER)
        self.tap("Send it")
        self.said("A test mail is on its way.")

    def place_order(self) -> None:
        """An order with one job for a new customer."""
        self.go("/orders/new/")
        fields = {
            "called": "Ines", "full_name": "Ines Marlow", "email": "ines@example.com",
            "address": "1 Example Street\nExampleton",
        }  # fmt: skip
        for name, value in fields.items():
            self.page.locator(f"[name$={name}]").first.fill(value)
        self.page.locator("[name$=hilt_name]").fill("Heron, two-piece")
        self.page.locator("[name$=wanted]").fill("Full install, two switches, white accent")
        self.page.select_option("[name$=agreed_how]", "chat")
        self.page.locator("form.booking .line button.go").click()
        self.said("Heron")

    def log_arrival(self, photos: list[Path], *, scripted: bool) -> None:
        """A parcel is on the doormat."""
        self.go("/intake/")
        self.tap("A parcel came")
        value = self.page.locator("[name=build] option", has_text="Heron").get_attribute("value")
        self.page.select_option("[name=build]", value or "")
        self.page.check("[name=box][value=sound]")
        self.page.fill("[name=carrier]", "Parcel post")
        self.tap("Log it")
        self.said("is in intake")
        self.add_photos(photos, scripted=scripted)

    def add_photos(self, photos: list[Path], *, scripted: bool) -> None:
        """Choose photos; scripted pages send them by themselves, the others by their button."""
        kept = self.page.locator("#photos figure").count()
        self.page.set_input_files("#camera", photos)
        if not scripted:
            self.tap("Keep photos")
        expect(self.page.locator("#photos figure")).to_have_count(kept + len(photos))

    def add_with_a_broken_one(self, photos: list[Path], broken: Path, *, scripted: bool) -> None:
        """One of several is cut off: it is refused by name, and the others are kept."""
        kept = self.page.locator("#photos figure").count()
        self.page.set_input_files("#camera", [*photos[:1], broken, *photos[1:]])
        if not scripted:
            self.tap("Keep photos")
        expect(self.page.locator("main")).to_contain_text("did not come whole")
        expect(self.page.locator("#photos figure")).to_have_count(kept + len(photos))
        if scripted:
            self.tap("Leave it")

    def reads_the_question(self, words: str) -> None:
        """Find what the customer asked."""
        self.go("/")
        self.said("Ines asks")
        self.go("/messages/?show=received")
        self.said(words)

    def note_contents(self) -> None:
        """What was in the box, the cell, the condition, tray and place, and the tag."""
        self.tap("+ blade", self.part("belongings"))
        expect(self.part("belongings").locator("li")).to_contain_text("blade")
        self.go("/build/1/")
        cell = self.part("cell")
        self.unfold(cell, "Write it down")
        cell.locator("[name=result][value=good]").check()
        cell.locator("[name=volts]").fill("3.71")
        self.tap("Keep the check", cell)
        expect(self.part("cell")).to_contain_text("wrap whole")
        condition = self.part("condition")
        self.unfold(condition, "Note a section")
        condition.locator("[name=section]").fill("pommel")
        condition.locator("[name=grade][value=worn]").check()
        condition.locator("[name=words]").fill("a short scratch beside the thread")
        self.tap("Keep the note", condition)
        expect(self.part("condition")).to_contain_text("short scratch")
        stands = self.part("stands")
        stands.locator("[name=tray]").select_option(label="07")
        stands.locator("[name=place]").select_option(index=1)
        self.tap("Put it there", stands)
        expect(self.part("stands")).to_contain_text("Tray 07")
        self.go("/build/1/tag/")
        expect(self.page.locator(".print-tag svg.qr")).to_be_visible()

    def share_first_photo(self) -> None:
        """Let the customer see the first photo."""
        self.go("/build/1/")
        figure = self.page.locator("#photos figure").first
        figure.locator("summary").click()
        figure.locator("[name=shared]").check()
        self.tap("Keep", figure)
        expect(self.page.locator("#photos figure").first).to_contain_text("shared")

    def answer(self, kind: str, words: str) -> None:
        """Record an answer that came in a chat."""
        self.go("/build/1/")
        answers = self.part("answers")
        self.unfold(answers, "Record an answer")
        answers.locator("[name=kind]").select_option(kind)
        answers.locator("[name=is_yes][value=yes]").check()
        answers.locator("[name=text]").fill(words)
        answers.locator("[name=how]").select_option("chat")
        self.tap("Keep the answer", answers)
        expect(self.part("answers")).to_contain_text(words)

    def through_the_bench(self, photos: list[Path], *, scripted: bool) -> None:
        """Every stage, by the Bench's one button a build; gates met on the way."""
        self.open_it_up()
        self.from_teardown_on(photos, scripted=scripted)
        expect(self.page.locator("#row-1")).to_contain_text("Ready to pack")

    def open_it_up(self) -> None:
        """Into teardown, and begun."""
        row = self.page.locator("#row-1")
        self.go("/bench/")
        self.tap("To teardown", row)
        self.said("Heron, two-piece is in teardown")
        self.go("/bench/")
        expect(row).to_contain_text("still wanted, same options?")
        self.answer("reconfirmed", "Yes, go on, same as agreed")
        self.go("/bench/")
        self.tap("Start teardown", row)
        expect(row).to_contain_text("No section of the hilt is measured yet")

    def from_teardown_on(self, photos: list[Path], *, scripted: bool) -> None:
        """Measured, taken apart, fitted, tested: until it stands in dispatch."""
        row = self.page.locator("#row-1")
        self.measure(scripted=scripted)
        self.take_apart()
        self.describe_slot()
        self.pass_what_is_the_customers_own()
        self.go("/bench/")
        self.tap("To install", row)
        self.tap("Start install", row)
        expect(row).to_contain_text("No part listed yet")
        self.fit_a_speaker()
        self.describe_gesture()
        self.pass_what_is_the_customers_own()
        self.go("/bench/")
        expect(row).to_contain_text("1 view to take")
        self.go("/build/1/")
        self.add_photos(photos[6:7], scripted=scripted)
        self.go("/bench/")
        self.tap("To test", row)
        self.tap("Start test", row)
        expect(row).to_contain_text("Bench test not begun")
        self.prove_it()
        self.try_on_the_hilt()
        self.pass_what_is_the_customers_own()
        self.go("/bench/")
        self.tap("To dispatch", row)

    def prove_it(self) -> None:
        """The bench test, line by line, one failed and put right; what runs for hours is let by."""
        self.go("/build/1/test/")
        self.tap("Begin the sheet")
        still_open = self.page.locator(".proof.is-open:has(.proof-form)")
        self.fail_and_put_right("Idle drain, asleep", "40")
        while still_open.count():
            self.read(still_open.first)
        for name in ("Burn-in", "Rest"):
            self.unfold(self.page.locator("main"), "Let a test by, with a reason")
            self.page.locator("[name=line]").select_option(label=name)
            self.page.fill("[name=reason]", "ran at the customer's, overnight")
            self.tap("Let it by")
        expect(self.page.locator("#stands-head")).to_contain_text("passed")

    def fail_and_put_right(self, name: str, reading: str) -> None:
        """A reading beyond its limit stays; what was done about it stands beside the re-test."""
        heading = self.page.get_by_role("heading", name=name)
        line_id = self.page.locator(".proof", has=heading).get_attribute("id")
        line = self.page.locator(f"#{line_id}")
        line.locator("[name=value]").fill(reading)
        line.locator("[name=value]").press("Enter")
        expect(self.page.locator(f"#{line_id}.is-failed")).to_be_visible()
        line.locator("[name=cause]").fill("accent wired past the board's switched output")
        line.locator("[name=minutes]").fill("25")
        self.tap("Keep, then test it again", line)
        self.read(line)
        expect(line).to_contain_text("re-test after: accent wired past the board's")

    def read(self, line: Locator) -> None:
        """One line of the sheet, read exactly at its limit: by one tap where there is one."""
        line_id, tap = line.get_attribute("id"), line.locator("[name=tap]")
        if tap.count():
            tap.first.click()
        else:
            limit = re.search(r"\d[\d.]*", line.locator(".proof-limit").inner_text())
            line.locator("[name=value]").fill(limit[0] if limit else "1")
            line.locator("[name=value]").press("Enter")
        expect(self.page.locator(f"#{line_id}.is-met")).to_be_visible()

    def describe_slot(self) -> None:
        """What the blade shows, on the card's own page."""
        self.go("/build/1/slots/")
        add = self.page.locator("#add")
        add.locator("[name=name]").fill("Ember")
        add.locator("[name=usual]").select_option(label="orange")
        self.tap("Put it on the card", add)
        expect(self.page.locator("#slots")).to_contain_text("orange, steady")

    def describe_gesture(self) -> None:
        """How the blade is lit, on the page of the hand-over."""
        self.go("/build/1/hand-over/")
        line = self.page.locator("#line-new")
        line.locator("[name$=being]").select_option(label="off")
        line.locator("[name$=wanted]").fill("blade on")
        line.locator("[name$=do]").fill("one short press")
        self.tap("Keep the line", line)
        expect(self.part("gestures")).to_contain_text("1 line to try")

    def try_on_the_hilt(self) -> None:
        """Each slot seen and heard, each gesture tried."""
        self.go("/bench/")
        expect(self.page.locator("#row-1")).to_contain_text("1 slot to see and hear: Ember")
        self.go("/build/1/slots/")
        self.tap("Seen and heard", self.part("slots"))
        expect(self.part("slots")).to_contain_text("seen and heard on the unit")
        self.go("/build/1/hand-over/")
        self.tap("Works", self.part("gestures"))
        expect(self.part("gestures")).to_contain_text("every line tried on this hilt")

    def fit_a_speaker(self) -> None:
        """One comes into the stores; its label is scanned, it is reserved and fitted."""
        self.go("/stores/?kind=speaker")
        self.tap("speaker 28 mm, 8")
        label = self.page.locator("header .sub .num").first.inner_text()
        receive = self.page.locator("details", has=self.page.get_by_text("Put into stock")).first
        self.unfold(self.page.locator("main"), "Receive")
        receive.locator("[name=quantity]").fill("1")
        self.tap("Put into stock", receive)
        self.go("/build/1/parts/")
        self.page.fill("[name=label]", label)
        self.page.press("[name=label]", "Enter")
        self.said("On the list: speaker 28 mm")
        listed = self.page.locator(".parts-list .row")
        self.tap("Reserve", listed)
        expect(listed).to_contain_text("reserved")
        self.tap("Fit", listed)
        expect(listed).to_contain_text("fitted")

    def measure(self, *, scripted: bool) -> None:
        """Measure a hilt of two sections, by a caliper that ends each value with Enter."""
        self.go("/hilt/1/?build=1")
        self.tap("+ emitter")
        self.tap("+ pommel")
        for number, values in enumerate((("27.2", "27.1", "60", "36"), ("26", "26", "44", "38"))):
            section = self.page.locator(".section").nth(number)
            for name, value in zip(("bore", "bore_across", "length", "outer"), values, strict=True):
                field = section.locator(f".caliper [name={name}]")
                expect(field).to_be_visible()
                field.fill(value)
                if scripted:
                    field.press("Enter")
            self.tap("Keep", section.locator(".caliper"))
            expect(section).to_contain_text("measured by")
        first = self.page.locator(".section").first
        first.get_by_text("Name, place, blade’s socket").click()
        first.locator("[name=holds_blade]").check()
        self.tap("Save", first)
        expect(first).to_contain_text("not measured: socket")
        for name, value in (("bore", "25.7"), ("bore_across", "25.6"), ("depth", "30")):
            first.locator(f".caliper [name=socket_{name}]").fill(value)
        self.tap("Keep", first.locator(".caliper"))
        expect(first.locator(".met").first).to_have_text("measured")
        first.get_by_text("Note the joint").click()
        first.locator("[name=kind][value=thread]").check()
        self.tap("Keep the joint", first)
        expect(first).to_contain_text("Joint behind it: thread")
        self.said("2 of 2 sections measured")

    def take_apart(self) -> None:
        """The steps, one of them after the other; cell out; the blade's depth; the chassis."""
        self.go("/hilt/1/steps/?build=1")
        self.page.locator("#add [name=words]").fill("pommel")
        self.tap("Add it")
        self.page.locator("#add [name=words]").fill("chassis")
        self.page.locator("#add [name=firsts]").check()
        self.tap("Add it")
        self.go("/build/1/apart/")
        self.tap("Cell out", self.part("out"))
        for number in range(2):
            self.tap("Off", self.part("steps").locator(".step").nth(number))
        self.said("all apart")
        self.part("depth").locator("[name=depth]").fill("25.4")
        self.tap("Keep", self.part("depth"))
        self.said("deep enough")
        self.go("/build/1/parts/")
        self.page.check("[name=plan-chassis][value=removable]")
        self.tap("Keep the chassis", self.part("plan"))

    def pass_by(self, deed: str, why: str) -> None:
        """Pass a condition of the gate with a reason, as the owner may."""
        self.go("/build/1/")
        line = self.part("gate").locator(".checks li", has_text=deed)
        line.get_by_text("Pass it with a reason").click()
        line.locator("[name=reason]").fill(why)
        self.tap("Pass it", line.locator("form"))
        expect(self.part("gate")).to_contain_text(why)

    def pass_what_is_the_customers_own(self) -> None:
        """No figures of fit and power: each stage that asks for them is told why."""
        self.pass_by("See the fit", "the parts are the customer's own, tried in the hilt")
        self.pass_by("Choose a cell", "the customer's own cell, as it came")

    def make_the_booklet(self) -> None:
        """Its booklet, made in both sizes of type and published."""
        self.go("/build/1/hand-over/")
        booklet = self.part("booklet")
        self.tap("Make the booklet", booklet)
        expect(booklet).to_contain_text("not published")
        self.tap("Publish it", booklet)
        expect(booklet).to_contain_text("once the hilt has left")

    def pack(self) -> None:
        """See it on the next dispatch day, and pack it."""
        self.go("/dispatch/")
        self.tap("Pack for")
        self.said("Packed")

    def leave_without_a_cell(self) -> None:
        """Its gate asks how the cell travels: here it stays out."""
        self.go("/dispatch/")
        self.tap("Pack it")
        cells = self.part("cells")
        cells.get_by_text("leaves without a cell", exact=True).click()
        self.tap("Keep the cell", cells)
        expect(self.part("class")).to_contain_text("No lithium in it: it may go")

    def tick_the_list(self, photos: list[Path], *, scripted: bool) -> None:
        """Tick each line of the packing list, what came among them; take the photo of the box."""
        self.go("/dispatch/")
        self.tap("Pack it")
        to_tick = self.part("list").locator("button[aria-pressed=false]")
        for left in range(to_tick.count() - 1, -1, -1):
            to_tick.first.click()
            expect(to_tick).to_have_count(left)
        self.add_photos(photos, scripted=scripted)
        self.said("It may leave.")

    def tell_ships_on(self) -> None:
        """Two taps to a status message."""
        self.tap("Tell Ines")
        self.tap("Send")

    def leaves(self) -> None:
        """Tick it off, and give the tracking number."""
        self.go("/dispatch/")
        self.tap("It left")
        self.said("It has left.")
        parcel = self.page.locator(".parcel")
        parcel.locator("[name=tracking]").fill("EX123456789")
        parcel.locator("[name=carrier]").fill("Parcel post")
        self.tap("Keep the number")
        self.said("Left")
