"""Reads pages as a person does: words, parts, rows; and taps."""

import re
from html import unescape
from typing import Any

from django.test import Client


def words(html: Any) -> str:
    """The words of a page, or of a piece of one."""
    text = html if isinstance(html, str) else html.content.decode()
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def part(answer: Any, name: str) -> str:
    """A part of a page by its id, as it was sent."""
    found = re.search(rf'<section id="{name}".*?</section>', answer.content.decode(), re.S)
    assert found, name
    return found[0]


def row(answer: Any, build: Any) -> str:
    """The row of a build, as it was sent; empty where there is none."""
    pattern = rf'<li class="row[^>]*id="row-{build.number}">.*?</li>'
    found = re.search(pattern, answer.content.decode(), re.S)
    return found[0] if found else ""


def hidden(html: str, name: str) -> str:
    """The value of a hidden field."""
    found = re.search(rf'name="{name}" value="([^"]*)"', html)
    assert found, name
    return found[1]


def tap(client: Client, url: str, target: str = "", **fields: Any) -> Any:
    """Send a form and follow to where it leads; with a target, as htmx does."""
    headers = {"HX-Request": "true", "HX-Target": target} if target else {}
    return client.post(url, fields, follow=True, headers=headers)
