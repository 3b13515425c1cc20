"""Parts of a page drawn once and handed out for as long as nothing at all was written since.

Two things must differ from look to look: the once-tokens of deeds, lest two tablets tap with one,
and the secret that guards forms. They are cut out as the part is drawn and filled in each time.
"""

import re
import secrets
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any
from uuid import uuid4

from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe

from shop.web.unchanged import while_unchanged

_SECRET = secrets.token_hex(16)  # stands for the secret as it is drawn; nobody can type it
_UUID = "[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
# In an attribute. What people type stands there too, such as a hilt's name: that is no fault.
_MISPLACED = re.compile(rf'(?:value|data-[a-z-]+|hx-vals)=["\'][^"\']*{_UUID}')
_HOLE = re.compile(f'(name="token" value=")({_UUID})(?=")|{_SECRET}')


@dataclass(frozen=True)
class Drawn:
    """Text around holes: before each hole the text, and the token that it had or the secret."""

    before: tuple[tuple[str, str], ...]
    rest: str

    @cached_property
    def may_be_shared(self) -> bool:
        """Whether no token seems to stand where no hole was cut; a name may look like one."""
        return not _MISPLACED.search("".join([*(each for each, _token in self.before), self.rest]))

    def for_a_look(self, request: HttpRequest) -> SafeString:
        """The text with tokens of its own; what shared one token shares one again."""
        fresh: dict[str, str] = {"": get_token(request)}
        said: list[str] = []
        for text, token in self.before:
            said += (text, fresh.get(token) or fresh.setdefault(token, str(uuid4())))
        return mark_safe("".join([*said, self.rest]))  # noqa: S308 – drawn by a template


def drawn_while_unchanged(
    request: HttpRequest,
    template: str,
    now: datetime,
    make: Callable[[], Mapping[str, Any]],
    also: Hashable = None,
) -> SafeString:
    """A part of a page for whoever is signed in; what ``make`` gives goes into its template.

    A once-token there stands in a hidden field named ``token``. Where one seems to stand in
    another attribute, each look draws the part for itself.

    :param now: drawn anew each minute, as days and limits end on minutes.
    :param also: whatever else than the database and the person the part depends on.
    """
    name = (template, request.user.pk, request.user.role, also)  # type: ignore[union-attr]
    found = while_unchanged(name, now, lambda: _draw(request, template, make()))
    own = found if found.may_be_shared else _draw(request, template, make())
    return own.for_a_look(request)


def _draw(request: HttpRequest, template: str, context: Mapping[str, Any]) -> Drawn:
    """No request goes along: what it alone knows would be handed to the next look."""
    data = {**context, "csrf_token": _SECRET, "who": request.user}
    return _cut(render_to_string(template, data))


def _cut(text: str) -> Drawn:
    before, at = [], 0
    for hole in _HOLE.finditer(text):
        before.append((text[at : hole.start()] + (hole[1] or ""), hole[2] or ""))
        at = hole.end()
    return Drawn(tuple(before), text[at:])
