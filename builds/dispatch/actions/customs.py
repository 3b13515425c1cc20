"""Writes down what the customs are told of a parcel."""

import re
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.parcels import lock_open
from builds.dispatch.models import Parcel
from builds.dispatch.queries.customs import customs_seen, last_told
from builds.dispatch.refusals import Refused
from shop.history.actions import record
from shop.people.models import User

# Six digits are the same wherever the Harmonized System is kept; what follows is a country's own.
LEAST_DIGITS = 6


def tariff_code(text: str) -> str:
    """A tariff code as typed, its blanks taken out.

    :raises Refused: fewer than six digits, or other signs.
    """
    code = re.sub(r"\s+", "", text)
    digits = code.replace(".", "")
    if code and not (digits.isascii() and digits.isdecimal() and len(digits) >= LEAST_DIGITS):
        raise Refused(
            _("A tariff code has six digits or more, with points between them or without.")
        )
    return code


@dataclass(frozen=True)
class ToCustoms:
    """What stands on the paper; an empty word is not known yet."""

    words: str
    origin: str
    tariff_code: str
    minor: int | None = None


@transaction.atomic
def tell_customs(parcel_id: int, told: ToCustoms, *, seen: int, by: User, now: datetime) -> Parcel:
    """Keep what the customs are told. The value is the owner's: another's leaves it as it is.

    :param seen: the newest writing-down that the person had before them.
    :raises Refused: it left, was opened again, or somebody wrote it down anew.
    """
    parcel = lock_open(parcel_id)
    before, stands = _kept(parcel), _in_words(parcel)
    parcel.customs_words, parcel.origin = told.words, told.origin
    parcel.tariff_code = told.tariff_code
    if by.is_owner:
        parcel.customs_minor = told.minor
    if _kept(parcel) == before:
        return parcel
    if customs_seen(parcel) != seen:
        raise Refused(_overtaken(parcel, stands))
    parcel.save(update_fields=["customs_words", "origin", "tariff_code", "customs_minor"])
    record("customs_noted", parcel.about, by, now)  # no sum: the bench reads it too
    return parcel


def _kept(parcel: Parcel) -> tuple[str, str, str, int | None]:
    return parcel.customs_words, parcel.origin, parcel.tariff_code, parcel.customs_minor


def _in_words(parcel: Parcel) -> str:
    told = (parcel.customs_words, parcel.origin, parcel.tariff_code)
    return " · ".join(word for word in told if word)


def _overtaken(parcel: Parcel, stands: str) -> str:
    newest = last_told(parcel)
    who = newest.actor.name if newest and newest.actor else _("Somebody")
    return _("%(who)s was first: %(stands)s. Save again to put yours in its place.") % {
        "who": who,
        "stands": stands,
    }
