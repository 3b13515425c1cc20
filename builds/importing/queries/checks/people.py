"""A person as a row names them: the facts of a customer, and whether we have them already."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from builds.importing import values
from builds.importing.queries.checks.line import Line
from shop.house.world import countries
from shop.people.models import Customer

_ADDRESS = ("address", "address_2", "town", "region", "postcode")
_A_LOT = 400  # looked up at once; SQLite takes no more than 32,766 values in one question


@lru_cache(maxsize=8)
def _known_countries(names: tuple[tuple[str, str], ...]) -> dict[str, str]:
    spoken = {
        "uk": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "great britain": "GB",
        "usa": "US", "u.s.a.": "US", "united states of america": "US", "holland": "NL",
    }  # fmt: skip
    return {**spoken, **{word.casefold(): code for code, name in names for word in (code, name)}}


def known_countries() -> dict[str, str]:
    """What may be said of a country, in small letters, and its code."""
    return _known_countries(tuple(countries()))


def person(line: Line, known: dict[str, str]) -> dict[str, Any]:
    """The facts of a customer, as their room keeps them."""
    given, family = line.text("called", 60), line.text("family", 60)
    full = line.text("full_name", 120) or " ".join(filter(None, (given, family)))
    called = given or full.split(" ")[0][:60]
    return {
        "called": called,
        "full_name": full or called,
        "email": line.take("email", values.email) or "",
        "phone": line.take("phone", values.phone) or "",
        "address": _address(line),
        "country": line.take("country", lambda value: values.country(value, known)) or "",
        "note": line.lines("note"),
    }


def _address(line: Line) -> str:
    parts = (line.lines(name, 400) for name in _ADDRESS)
    return "\n".join(part for part in parts if part)


class Ours:
    """The customers that the rows may mean, read in a few questions."""

    def __init__(self, people: Iterable[dict[str, Any]]) -> None:
        people = list(people)
        emails = {each["email"].casefold() for each in people} - {""}
        names = {each["full_name"].casefold() for each in people} - {""}
        self.by_email: dict[str, Customer] = {}
        self.by_name: dict[str, list[Customer]] = {}
        for each in _looked_up(emails, names):
            self.by_email.setdefault(each.email_folded, each)
            self.by_name.setdefault(each.name_folded, []).append(each)

    def find(self, facts: dict[str, Any]) -> list[Customer]:
        """Whom a row means: by the e-mail where it has one, else by the whole name."""
        email = facts["email"].casefold()
        if email:
            return [self.by_email[email]] if email in self.by_email else []
        return self.by_name.get(facts["full_name"].casefold(), [])


def _looked_up(emails: set[str], names: set[str]) -> Iterable[Customer]:
    found: dict[int, Customer] = {}
    for column, wanted in (("email_folded", emails), ("name_folded", names)):
        some = sorted(wanted)
        for start in range(0, len(some), _A_LOT):
            rows = Customer.objects.filter(Q(**{f"{column}__in": some[start : start + _A_LOT]}))
            found.update({row.pk: row for row in rows.order_by("pk")})
    return found.values()


def key(facts: dict[str, Any]) -> str:
    """What tells one person of the sheet from another."""
    return str(facts["email"] or facts["full_name"]).casefold()


def several(many: int) -> str:
    """A name that more than one customer has."""
    return _("%s customers have this name. Put the e-mail beside it.") % many
