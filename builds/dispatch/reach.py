"""Whether a service gets to a country: roads end at the sea, and the post at its borders.

The parties to the European rules of carriage by road (ADR) stand in ``usual``; their own list is
that of the United Nations Treaty Collection, chapter XI.B.14. From memory, as are the territories
that the United States post serves as its own.
"""

from django.utils.translation import gettext as _

from builds.dispatch.states import Mode
from builds.dispatch.usual import ADR
from shop.house.world import countries

STATES = "US"
# Parties to the treaty that no parcel road of Europe leads to.
_BEYOND = frozenset({"KZ", "MA", "TJ", "TN", "UZ"})
# No parties of their own, and served by road and ferry from those beside them.
_BESIDE = frozenset({"GG", "GI", "IM", "JE", "MC", "SM", "VA"})
EUROPE = (ADR - _BEYOND) | _BESIDE
# The United States post calls these domestic; no road leads there.
POST_AT_HOME = frozenset({STATES, "AS", "GU", "MP", "PR", "UM", "VI"})
_POST = {Mode.USPS_DOMESTIC_SURFACE, Mode.USPS_DOMESTIC_AIR}


def why_not_there(mode: str, home: str, to: str) -> str:
    """Why a way of travelling does not get from one country to another; empty where it does.

    :param to: the country of the consignee; left out, it is the shop's own.
    """
    to = to or home
    if mode == Mode.ADR_ROAD:
        return _by_road_in_europe(home, to)
    if mode == Mode.US_GROUND:
        own, words = frozenset({STATES}), _("This service goes by road in the United States")
        return _within(own, words, home, to)
    if mode in _POST:
        return _within(POST_AT_HOME, _("This service is post in the United States"), home, to)
    return _post_abroad(home, to) if mode == Mode.USPS_ABROAD else ""


def _by_road_in_europe(home: str, to: str) -> str:
    if home == to and home in ADR:
        return ""
    return _within(EUROPE, _("This service goes by road in Europe"), home, to)


def _within(countries_: frozenset[str], words: str, home: str, to: str) -> str:
    if to not in countries_:
        return _goes_to(words, to)
    return "" if home in countries_ else _starts_in(words, home)


def _post_abroad(home: str, to: str) -> str:
    words = _("This service is post from the United States to other countries")
    if home not in POST_AT_HOME:
        return _starts_in(words, home)
    return _goes_to(words, to) if to in POST_AT_HOME else ""


def _goes_to(words: str, to: str) -> str:
    named = {"service": words, "country": _name(to)}
    return _("%(service)s, and the parcel goes to %(country)s: choose another.") % named


def _starts_in(words: str, home: str) -> str:
    named = {"service": words, "country": _name(home)}
    return _("%(service)s, and the parcel starts in %(country)s: choose another.") % named


def _name(code: str) -> str:
    return dict(countries()).get(code, code)
