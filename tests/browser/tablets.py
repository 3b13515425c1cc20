"""A tablet at the bench, on a way to the shop that a test cuts; and what the shop then has."""

import re
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.wire import Wire
from tests.machine.conftest import Shop

ODA, JORY = "oda@larkhill.example", "jory@larkhill.example"


@dataclass
class Tablet:
    """A tablet at the bench, and its way to the shop."""

    context: BrowserContext
    page: Page
    wire: Wire
    said: str

    def go(self, path: str) -> None:
        """Open an address of the shop."""
        self.page.goto(self.wire.base + path)

    def sign_in(self, email: str) -> None:
        """Give the password at the door."""
        phrase = re.search(rf"{email}\s+(\S+)", self.said)
        assert phrase, self.said
        self.page.fill("[name=email]", email)
        self.page.fill("[name=password]", phrase[1])
        self.page.locator("main button").first.click()
        expect(self.page.locator("body[data-who]")).to_be_attached()

    def says(self, words: str) -> None:
        """Expect that the strip says something."""
        expect(self.page.locator("[data-head]")).to_contain_text(words)

    def unfold(self) -> None:
        """Show the list."""
        self.page.locator("[data-fold]").click()
        expect(self.page.locator("#waiting-list")).to_be_visible()

    def tap(self, action: str, words: str = "") -> None:
        """Tap the button of a form by its address."""
        form = self.page.locator(f'form[action="{action}"]').first
        form.get_by_role("button", name=words).first.click()


def count(shop: Shop, table: str, **where: Any) -> int:
    """How many rows of a build the database has."""
    asked = " AND ".join(f"{name} = ?" for name in where)
    with closing(sqlite3.connect(shop.data / "hiltyard.sqlite3")) as database:
        found = database.execute(f"SELECT COUNT(*) FROM {table} WHERE {asked}", [*where.values()])  # noqa: S608
        return int(found.fetchone()[0])


def id_of(shop: Shop, number: int) -> int:
    """The row of a build."""
    with closing(sqlite3.connect(shop.data / "hiltyard.sqlite3")) as database:
        row = database.execute("SELECT id FROM builds_build WHERE number = ?", [number]).fetchone()
        return int(row[0])
