"""Words for each occasion, with plain placeholders; nothing is written to the database here."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from string import Template

from django.utils.translation import gettext_lazy as _

from shop.post.models import Occasion

LINK = "link"
# Placeholder → what stands there, for the page on which the shop writes its own words.
PLACEHOLDERS = {
    "name": _("the customer, as you greet them"),
    "hilt": _("the hilt's name"),
    "number": _("the build's number"),
    "order": _("the order's number, to be written on the box"),
    "address": _("where parcels are sent to"),
    "closed": _("between which days nothing should arrive, where the shop is to close"),
    "stage": _("the stage it has reached"),
    "day": _("the day that is promised or meant"),
    "link": _("the customer's private page"),
    "shop": _("your shop's name"),
    "tracking": _("the tracking number"),
    "carrier": _("who carries the parcel"),
    "words": _("what you add by hand"),
    "paper": _("an invoice, credit note or receipt, by its number"),
    "due": _("what is still to be paid"),
    "how_to_pay": _("how to pay, as Settings say"),
    "return": _("the number of a return, to be written on the box"),
    "battery": _("what is to be done with the battery before it is posted"),
    "decision": _("whether the warranty covers it"),
    "because": _("why it was decided so"),
    "carriage": _("who pays the carriage"),
}
_LINK_ALONE = re.compile(r"\$(?:link(?![_a-z0-9])|\{link\})", re.IGNORECASE)


@dataclass(frozen=True)
class Text:
    """Subject and body, with placeholders or filled."""

    subject: str
    body: str


_HELLO = _("Hello $name,")
_PAGE = _("Your page, always up to date: $link")
_BYE = _("Kind regards\n$shop")


def default(occasion: str) -> Text:
    """The tool's own words for an occasion."""
    subject, *parts = _DEFAULTS[Occasion(occasion)]
    return Text(str(subject), "\n\n".join(str(part) for part in parts) + "\n")


def fill(template: str, values: Mapping[str, str]) -> str:
    """Put the values in. A line that names something without a value is left out.

    ``$link`` stays as it is unless a value is given for it, and so does a lone "$".
    """
    lines = [line for line in template.splitlines() if not _lacks(line, values)]
    filled = Template("\n".join(lines)).safe_substitute({k: v for k, v in values.items() if v})
    return _tidy(filled, template)


def fill_text(text: Text, values: Mapping[str, str]) -> Text:
    """Fill subject and body; in the one line of a subject only the missing value is left out."""
    known = dict.fromkeys(PLACEHOLDERS, "") | dict(values)
    subject = Template(text.subject).safe_substitute(known)
    return Text(" ".join(subject.split()), fill(text.body, values))


def with_link(text: str, url: str | None) -> str:
    """The text with its link; without one, no word of it."""
    if url:
        return _LINK_ALONE.sub(lambda _match: url, text)
    lines = [line for line in text.splitlines() if not _LINK_ALONE.search(line)]
    return _tidy("\n".join(lines), text)


def unknown_placeholders(text: str) -> list[str]:
    """Names after a "$" that stand for nothing, in order; "$5" and a lone "$" are no names."""
    return [name for name in Template(text).get_identifiers() if name not in PLACEHOLDERS]


def _lacks(line: str, values: Mapping[str, str]) -> bool:
    named = [name for name in Template(line).get_identifiers() if name in PLACEHOLDERS]
    return any(not values.get(name, "$" if name == LINK else "") for name in named)


def _tidy(text: str, like: str) -> str:
    # Where a line was left out, two blank lines would meet.
    closed = re.sub(r"\n{3,}", "\n\n", text).strip("\n")
    return closed + "\n" if like.endswith("\n") else closed


_DEFAULTS = {
    Occasion.POSTING: (
        _("Post $hilt to us: $order"),
        _HELLO,
        _("We look forward to $hilt. Write $order on the box, and on a note inside."),
        _("Send it, tracked and insured, to:\n$address"),
        "$closed",
        "$words",
        _("How to pack it, what to do with its battery and when we are closed: $link"),
        _BYE,
    ),
    Occasion.ARRIVED: (
        _("$hilt has arrived safely"),
        _HELLO,
        _("Your parcel is here and $hilt has arrived safely."),
        "$words",
        _("We look at it closely next and tell you what we find."),
        _PAGE,
        _BYE,
    ),
    Occasion.STAGE: (
        _("$hilt: $stage"),
        _HELLO,
        _("A short word from the bench: $hilt has reached $stage."),
        _("As things stand, it ships by $day."),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.HOLD: (
        _("$hilt waits for your answer"),
        _HELLO,
        _("We have paused work on $hilt and need a word from you:"),
        "$words",
        _("You can answer on your page: $link"),
        _("Or simply reply to this mail."),
        _BYE,
    ),
    Occasion.QUOTE: (
        _("Your quote for order $order"),
        _HELLO,
        _("Your quote for $hilt is ready: what is in it, and what it comes to."),
        _("Say yes, say no, or ask, on your page: $link"),
        "$words",
        _("It is valid until $day. Until you answer, nothing is agreed."),
        _BYE,
    ),
    Occasion.CHANGE: (
        _("$hilt: we found something, and need your answer"),
        _HELLO,
        _(
            "While working on $hilt we found something that changes what we agreed. The work "
            "waits until you decide."
        ),
        _("What we found, what it would come to, and how to say yes, no, or ask: $link"),
        "$words",
        _("It is valid until $day."),
        _BYE,
    ),
    Occasion.CONSENT: (
        _("$hilt: may we?"),
        _HELLO,
        _("Before we go on with $hilt we need your consent to something that could leave marks."),
        _("Read it and answer on your page: $link"),
        "$words",
        _("Without your yes we leave it."),
        _BYE,
    ),
    Occasion.CAME: (
        _("$hilt goes on: the parts came"),
        _HELLO,
        _("What $hilt was waiting for has come, so work on it goes on."),
        _("As things stand, it ships by $day."),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.SHIPS_ON: (
        _("$hilt ships on $day"),
        _HELLO,
        _("Good news: $hilt is ready and leaves us on $day."),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.SENT: (
        _("$hilt is on its way"),
        _HELLO,
        _("$hilt has left us and is on its way to you."),
        _("Carrier: $carrier\nTracking number: $tracking"),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.FILM: (
        _("The film of $hilt"),
        _HELLO,
        _("We filmed $hilt for you: how it is switched on, what it does, and how it comes apart."),
        _("It stands on your page, to watch and to keep. It shows flashing light."),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.LATE: (
        _("$hilt will be later than we told you"),
        _HELLO,
        _("We are sorry: $hilt takes longer than we told you. It now ships by $day."),
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.SHIP_BY: (
        _("Ship by $day: build $number, $hilt"),
        _("Build $number ($hilt) for $name is to ship by $day. It stands at: $stage."),
        "$words",
    ),
    Occasion.CHASE: (
        _("Ask again: build $number, $hilt"),
        _("Build $number ($hilt) of $name is on hold. The day to ask again has come: $day."),
        "$words",
        _("When you have asked, tap “Asked again” on its sheet: that sets the next day."),
    ),
    Occasion.DIGEST: (
        _("What wants you on $day"),
        _("What wants you at $shop this morning:"),
        "$words",
    ),
    Occasion.TEST: (
        _("Test mail from $shop"),
        _("This is the test mail you asked for. Mail from $shop leaves as it should."),
    ),
    Occasion.PASSWORD: (
        _("A new password for $shop"),
        _HELLO,
        "$words",
        _("If you did not ask for this, leave it be: nothing changes."),
        _BYE,
    ),
    Occasion.PAPER: (
        _("$paper for order $order"),
        _HELLO,
        _("With this mail comes $paper for order $order."),
        _("Still to be paid: $due, by $day."),
        "$how_to_pay",
        "$words",
        _PAGE,
        _BYE,
    ),
    Occasion.RETURN_NOTED: (
        _("$hilt comes back: $return"),
        _HELLO,
        _("We are sorry that something is wrong. The number of this return is $return."),
        "$battery",
        _(
            "Write $return on the box, and on a note inside. Send it, tracked and insured, to: "
            "$address"
        ),
        "$closed",
        "$words",
        _("The page of $hilt, where this stands too: $link"),
        _BYE,
    ),
    Occasion.RETURN_DECIDED: (
        _("$hilt, return $return: what we decided"),
        _HELLO,
        _("We looked at what you told us about $hilt, return $return."),
        "$battery",
        "$decision",
        _("Because: $because"),
        "$carriage",
        "$words",
        _("Not posted yet? Write $return on the box, and send it to: $address"),
        "$closed",
        _("The page of $hilt: $link"),
        _BYE,
    ),
    Occasion.FREE: (_("A word about $hilt"), _HELLO, "$words", _PAGE, _BYE),
}
