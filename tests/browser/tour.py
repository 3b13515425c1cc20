"""The pages of a demo shop, found by following its links: what every look at all pages goes by."""

import re
from collections import deque
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

from django.urls import Resolver404, resolve
from playwright.sync_api import APIRequestContext

# How many addresses of one page are looked at: a sheet is another one in every stage.
MOST = {"bench_sheet": 8, "bench_arrival": 3, "bench_tell": 2, "bench_dispatch": 2,
        "handover_film": 12}  # fmt: skip
# Where an answer is given: a look, with a link that is known, is led on to the order's page.
ANSWERED = {"visitor_quote", "visitor_consent", "visitor_sounds", "visitor_return"}
OF_WHAT_LEFT = {"visitor_booklet"}  # a PDF; the order that the demo names is still here
ASKED_BY_SCRIPT = {"files_upload"}  # how far an upload is: numbers, no page
READ_BY_CALENDARS = {"feeds_read"}  # text, no page
UNDER_HTTPS = {"later_worker"}  # a script, and not there without
NO_PAGES = ANSWERED | OF_WHAT_LEFT | ASKED_BY_SCRIPT | READ_BY_CALENDARS | UNDER_HTTPS


@dataclass
class Tour:
    """The pages that somebody finds in the shop, by their names in the URL map."""

    base: str
    state: Any
    pages: dict[str, list[str]] = field(default_factory=dict)
    others: dict[str, str] = field(default_factory=dict)

    def walk(self, ask: APIRequestContext, starts: list[str]) -> None:
        """Ask for each start, and for what the pages link to, until each name has enough."""
        waiting, seen = deque(starts), set(starts)
        while waiting:
            path = waiting.popleft()
            name = _name(path)
            if not name or len(self.pages.get(name, [])) >= MOST.get(name, 1):
                continue
            answer = ask.get(self.base + path, max_redirects=0)
            kind = answer.headers.get("content-type", "")
            if answer.status not in {200, 410} or not kind.startswith("text/html"):
                self.others[name] = f"{answer.status} {kind}"
                continue
            self.pages.setdefault(name, []).append(path)
            for link in _links(answer.text()):
                if link not in seen:
                    seen.add(link)
                    waiting.append(link)

    @property
    def paths(self) -> list[str]:
        """The addresses, in the order of the map."""
        return self.paths_of()

    def paths_of(self, names: Collection[str] = ()) -> list[str]:
        """The same of some pages by their names; of all where none is given."""
        return [
            path
            for name in sorted(self.pages)
            if not names or name in names
            for path in self.pages[name]
        ]


def _links(text: str) -> list[str]:
    found = [link.split("#")[0] for link in re.findall(r'href="(/[^"]*)"', text)]
    return [link.replace("&amp;", "&") for link in found if not link.startswith("/static/")]


def _name(path: str) -> str:
    try:
        return str(resolve(urlsplit(path).path).url_name)
    except Resolver404:
        return ""
