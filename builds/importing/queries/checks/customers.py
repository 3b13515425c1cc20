"""Rows that are customers."""

from typing import Any

from django.utils.translation import gettext as _

from builds.importing.queries.checks.line import Line, Options, Plan, Wish, lines_of
from builds.importing.queries.checks.people import Ours, key, known_countries, person
from builds.importing.sheets import Sheet
from shop.people.models import Customer


def plan(sheet: Sheet, options: Options) -> Plan:
    """Each row a customer, unless we have them or an earlier row does."""
    made, known = Plan(), known_countries()
    read = [(line, person(line, known)) for line in lines_of(sheet, options, made)]
    ours = Ours(facts for _line, facts in read)
    seen: dict[str, int] = {}
    for line, facts in read:
        found = _found(line, facts, ours, seen)
        made.wishes.append(Wish(line.row.number, facts, found))
    return made


def _found(line: Line, facts: dict[str, Any], ours: Ours, seen: dict[str, int]) -> Any:
    if not facts["full_name"]:
        if line.is_sound:
            line.say("full_name", _("A customer needs a name: this row has none."))
        return None
    meant = ours.find(facts)
    if meant:
        _tell(line, facts, meant)
        return meant[0]
    earlier = seen.setdefault(key(facts), line.row.number)
    if earlier != line.row.number:
        field = "email" if facts["email"] else "full_name"
        line.double(field, _("Row %s above is the same customer.") % earlier)
        return earlier
    return None


def _tell(line: Line, facts: dict[str, Any], meant: list[Customer]) -> None:
    if facts["email"]:
        line.double("email", _("%s has this e-mail already.") % meant[0].full_name)
    else:
        line.double("full_name", _("We have a customer of this name, and the row has no e-mail."))
