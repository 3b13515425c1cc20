"""A booklet as PDF: what it says in the words of the page, settled for its type, then set."""

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import segno
from django.http import HttpResponse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.handover.booklet_words import care
from builds.handover.booklet_words.contents import Contents
from builds.handover.models import Booklet
from builds.handover.states import Type
from shop.files.queries import document_of
from shop.web.glyphs import INSTEAD, settle
from shop.web.paper import accessible_pdf

POINTS = {Type.USUAL: 10, Type.LARGE: 16}
# Words of letters alone are hyphenated; numbers, addresses and endless words are not.
_LONG = re.compile(r"[^\W\d_]{22,}|\S*[\d_/@.]\S{9,}|\S{9,}[\d_/@.]\S*")
_BREAK = "\u200b"  # a place at which a word without any may go on in the next line
_PIECE = 6
_MOST = 40  # letters of a name at the head or foot of a page


@dataclass(frozen=True)
class Ready:
    """A booklet that can be set, and the signs that its type lacks."""

    data: dict[str, Any]
    lacks: tuple[str, ...]


def ready(said: Contents) -> Ready:
    """The words of a booklet, settled; what its type lacks is said at its end."""
    settled = settle(_words_of(said))
    data: dict[str, Any] = _with_breaks(settled.values)
    if settled.lacks:
        data["lacking"] = _("A sign that this booklet’s type lacks stands as %s.") % INSTEAD
    link = settled.values["link"]
    data |= {name: _one_line(settled.values[name]) for name in ("head", "foot")}
    data |= {"link": link, "qr": _qr(link) if link else ""}
    return Ready(data, settled.lacks)


def booklet_pdf(made_of: Ready, size: str, at: datetime) -> bytes:
    """The booklet in a size of type. The same data and day are the same bytes."""
    return accessible_pdf("booklet", {**made_of.data, "pt": POINTS[Type(size)]}, at)


def file_name(made: Booklet, number: str) -> str:
    """What its file is called."""
    return f"booklet-{number}-{made.type_size}.pdf"


def booklet_file(made: Booklet, number: str) -> HttpResponse | None:
    """A booklet that was made, to be read in the browser; None where its file is gone.

    The caller has made sure that whoever asks may have it.
    """
    content = document_of(made.blob)
    if content is None:
        return None
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{file_name(made, number)}"'
    answer["Cache-Control"] = "private, no-store"
    return answer


def _words_of(said: Contents) -> dict[str, Any]:
    facts = {"shop": said.shop, "hilt": said.hilt, "called": said.called, "number": said.number}
    return {
        **said.plain(),
        "words": _headings(),
        "title": _("%(hilt)s: booklet of build %(number)s") % facts,
        "for": _("for %(called)s") % facts,
        "subtitle": _("How to work it, take it apart, and look after it"),
        "build": f"{_('Build %(number)s') % facts} · {said.kind}",
        "as_of": _("as of %s") % said.as_of,
        "foot": _("%(shop)s, build %(number)s") % facts,
        "head": said.hilt,
        "drawing_alt": _drawn(said),
        "careful": care.careful(),
        "before_apart": care.before_apart(),
        "before_cell": care.before_cell(),
        "charging": care.charging(said.by_port),
        "away": care.away(),
        "cleaning": care.cleaning(),
        "coming_back": care.coming_back(),
        "warranty": _warranty(said),
        "reach": _reach(said),
        "shown_link": said.link,
        "tried": capfirst("; ".join(said.tried)),
        "lacking": "",
    }


def _drawn(said: Contents) -> str:
    parts = ", ".join(each.name for each in said.lengths)
    words = _("The hilt drawn from the blade’s end: %(parts)s. Length over all %(length)s.")
    return words % {"parts": parts, "length": said.length}


def _warranty(said: Contents) -> list[str]:
    lines = []
    if said.warranty_runs_on:
        lines.append(_("Put right under warranty: the warranty of the work before runs on."))
    if said.warranty_days:
        words = ngettext(
            "%d day from the day on which it leaves us.",
            "%d days from the day on which it leaves us.",
            said.warranty_days,
        )
        lines.append(words % said.warranty_days)
    if said.until:
        lines.append(_("That is until the end of %s.") % said.until)
    return [*filter(None, [" ".join(lines), said.warranty])]


def _reach(said: Contents) -> list[tuple[str, str]]:
    rows = [(_("Write to"), said.mail), (_("Call"), said.phone)]
    return [(label, text) for label, text in rows if text]


def _headings() -> dict[str, str]:
    return {
        "page": _("page {n} of {all}"),
        "contents": _("What is in here"),
        "careful": _("Read this first"),
        "gestures": _("How to work it"),
        "to_get": _("To get"),
        "do_this": _("Do this"),
        "see": _("See"),
        "hear": _("Hear"),
        "out": _("Get out"),
        "slots": _("Sounds and colours"),
        "place": _("Place"),
        "colour": _("Colour"),
        "sound": _("Name, look, sounds"),
        "music": _("Music"),
        "licences": _("Whose the sounds are"),
        "apart": _("Taking it apart"),
        "back": _("The way back"),
        "back_lead": _("The same steps from the last to the first, each the other way round. "
                       "Screws snug, not tight."),
        "ours": _("Leave to us"),
        "ours_lead": _("These steps are not for home. Ask us first."),
        "leave": _("What to leave alone"),
        "battery": _("The battery"),
        "may_travel_without": _("It may have come without its battery: the slip in the box says "
                                "so. Then put one of this kind in before its first use."),
        "charging": _("Charging"),
        "deference": _("Where the rules of your country, or the papers of battery or charger, "
                       "say otherwise, go by those."),
        "away": _("Putting it away"),
        "cleaning": _("Cleaning"),
        "inside": _("What is inside"),
        "part": _("Part"),
        "where": _("Where"),
        "serial": _("No."),
        "blade": _("The blade"),
        "measured": _("What we measured"),
        "test": _("Test"),
        "reading": _("Reading"),
        "limit": _("Limit"),
        "tried": _("Also tried, and passed"),
        "warranty": _("Warranty"),
        "ask": _("Ask us, or send it back"),
        "qr": _("The code leads to this hilt’s own page. It does not run out. Whoever has it can "
                "read the page: keep it with the hilt."),
        "qr_alt": _("A code to scan: the address of this hilt’s own page, also printed beside it."),
    }  # fmt: skip


def _one_line(text: str) -> str:
    """A text for the head or foot of a page: short, and never broken."""
    short = text if len(text) <= _MOST else text[: _MOST - 1].rstrip() + "…"
    return short.replace(" ", "\u00a0")


def _qr(link: str) -> str:
    code = segno.make(link, error="m", micro=False)
    return str(code.svg_inline(border=2, scale=4, dark="#000000", light="#ffffff"))


def _with_breaks(value: Any) -> Any:
    """Long runs without a space may be broken, so that none leaves the page."""
    if isinstance(value, str):
        return _LONG.sub(_broken, value)
    if isinstance(value, dict):
        return {key: _with_breaks(each) for key, each in value.items()}
    return [_with_breaks(each) for each in value] if isinstance(value, list) else value


def _broken(run: re.Match[str]) -> str:
    text = run[0]
    return _BREAK.join(text[at : at + _PIECE] for at in range(0, len(text), _PIECE))
