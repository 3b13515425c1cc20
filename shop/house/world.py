"""Countries, currencies and time zones to choose from, by the standard's own lists."""

import os
from collections import defaultdict
from functools import lru_cache
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from zoneinfo import available_timezones

from babel import Locale
from babel.numbers import get_territory_currencies
from django.utils.translation import get_language, to_locale

Choice = tuple[str, str]
# Where paper is cut to letter size (CLDR, paper sizes of territories); A4 elsewhere.
LETTER = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


def _locale() -> Locale:
    return Locale.parse(to_locale(get_language() or "en"))


@lru_cache(maxsize=1)
def _zones_of() -> dict[str, list[str]]:
    """Zones by country code; the file comes with the time zone data itself."""
    found: dict[str, list[str]] = defaultdict(list)
    text = files("tzdata").joinpath("zoneinfo/zone.tab").read_text(encoding="utf-8")
    for line in text.splitlines():
        if not line.startswith("#"):
            code, _coordinates, zone = line.split("\t")[:3]
            found[code].append(zone)
    return dict(found)


def countries() -> list[Choice]:
    """Country codes (ISO 3166-1) and their names, by name."""
    names = _locale().territories
    return sorted(((code, names.get(code, code)) for code in _zones_of()), key=lambda c: c[1])


def with_country(address: str, country: str) -> list[str]:
    """The lines of an address with its country as the last, said once."""
    lines = [line.strip() for line in address.splitlines() if line.strip()]
    name = dict(countries()).get(country, country)
    is_said = bool(lines) and lines[-1].casefold() == name.casefold()
    return lines if is_said or not name else [*lines, name]


def currencies() -> list[Choice]:
    """Codes (ISO 4217) and names of the money in use today, by code."""
    names = _locale().currencies
    codes = {code for country in _zones_of() for code in get_territory_currencies(country)}
    return [(code, f"{code} – {names.get(code, code)}") for code in sorted(codes)]


def zones(present: str = "") -> list[tuple[str, list[Choice]]]:
    """Time zones in groups by part of the world; the present one is among them in any case."""
    known = {zone for some in _zones_of().values() for zone in some}
    wanted = sorted((known | ({present} & available_timezones())) - {"UTC"})
    groups = groupby(wanted, key=lambda zone: zone.partition("/")[0])
    by_part = [(part, [(z, _spoken(z)) for z in some]) for part, some in groups]
    return [*by_part, ("UTC", [("UTC", "UTC")])]


def _spoken(zone: str) -> str:
    return zone.partition("/")[2].replace("_", " ").replace("/", ", ") or zone


def zone_of_this_machine() -> str:
    """The time zone that this machine keeps; empty when it keeps none that we know."""
    name = os.environ.get("TZ", "").lstrip(":")
    if not name:
        name = str(Path("/etc/localtime").resolve()).partition("zoneinfo/")[2]
    return name if country_of(name) else ""


def country_of(zone: str) -> str:
    """The country that a zone lies in; empty when it lies in none."""
    return next((code for code, some in _zones_of().items() if zone in some), "")


def zone_of(country: str, present: str = "") -> str:
    """A zone of a country: the present one if it lies there, else the first that is listed."""
    some = _zones_of().get(country, ["UTC"])
    return present if present in some else some[0]


def currency_of(country: str) -> str:
    """The money of a country."""
    return next(iter(get_territory_currencies(country)), "EUR") if country else "EUR"
