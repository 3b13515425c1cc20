"""Public holidays of a country and region, by the `holidays` library."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from types import MappingProxyType

from holidays import country_holidays
from holidays.registry import COUNTRIES
from holidays.utils import list_supported_countries

_KNOWN = frozenset(codes[1] for codes in COUNTRIES.values())


def is_known(country: str) -> bool:
    """Whether the library knows the public holidays of a country."""
    return country in _KNOWN


@lru_cache(maxsize=1)
def _regions() -> Mapping[str, list[str]]:
    return list_supported_countries(include_aliases=False)


def regions(country: str) -> list[str]:
    """Codes of the regions whose holidays differ from the rest of the country's."""
    return list(_regions().get(country, []))


@lru_cache(maxsize=8)
def region_names(country: str) -> Mapping[str, str]:
    """The regions by code, each with the name that the library knows, else with its code."""
    known = country_holidays(country).get_subdivision_aliases() if regions(country) else {}
    return MappingProxyType({code: (known.get(code) or [code])[0] for code in regions(country)})


@lru_cache(maxsize=64)  # The first look at a country costs a tenth of a second
def in_year(country: str, region: str, year: int) -> Mapping[date, str]:
    """The public holidays of one year by day; none for a country that is not known."""
    if not is_known(country):
        return MappingProxyType({})
    part = region if region in regions(country) else None
    return MappingProxyType(dict(country_holidays(country, subdiv=part, years=year, expand=False)))
