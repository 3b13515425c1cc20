"""A build with parts on its list, and pages read as a person reads them."""

import html
import re
from datetime import datetime
from typing import Any
from uuid import uuid4

from django.http import HttpResponse
from django.test import Client

from builds.fitting.actions.parts import plan_part
from builds.fitting.models import BuildPart
from builds.models import Build
from shop.models import Part, User


def plan(build: Build, part: Part, by: User, now: datetime, quantity: int = 1) -> BuildPart:
    """A part on the list of a build."""
    return plan_part(build, part, quantity, section=None, token=uuid4(), by=by, now=now)


def said(answer: HttpResponse) -> str:
    """The words of a page, on one line."""
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(text).replace("\u202f", " ").replace("\xa0", " ").split())


def post(client: Client, address: str, **fields: object) -> Any:
    """Tap a button, and read the page that it leads to."""
    sent = {"token": str(uuid4()), **{name: str(value) for name, value in fields.items()}}
    return client.post(address, sent, follow=True)
