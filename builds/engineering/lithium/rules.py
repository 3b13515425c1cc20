"""What speaks against a parcel, rule by rule; each way of travelling has its own list."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from builds.engineering.lithium.contents import Carried, Cells, Chemistry, Mode, Parcel, Verdict
from builds.engineering.lithium.limits import CHARGE_RULE_FROM, LIMITS, energy, road_limit, within
from builds.engineering.lithium.sentences import Sentence

KG_PER_LB = 0.45359237
ROADS = (Mode.US_GROUND, Mode.ADR_ROAD)
POST_AT_HOME = (Mode.USPS_DOMESTIC_AIR, Mode.USPS_DOMESTIC_SURFACE)


@dataclass(frozen=True)
class Reason:
    """One thing against a parcel: how much it weighs, in words, by which rule."""

    verdict: Verdict
    sentence: Sentence
    rule: str = ""


def against(parcel: Parcel, mode: Mode, on: date) -> list[Reason]:
    """Everything that speaks against a parcel."""
    found = [*_missing(parcel, mode), *_damaged(parcel, mode)]
    if parcel.lithium:
        found += _too_large(parcel, mode)
        found += _BY_MODE[mode](parcel, on)
    return found


def rule_of(cells: Cells, mode: Mode) -> str:
    """The rule by which cells travel that keep to it."""
    if mode is not Mode.AIR:
        return _RULES[mode]
    installed, packed, loose = (
        ("PI 970 II", "PI 969 II", "PI 968 IB")
        if cells.chemistry is Chemistry.METAL
        else ("PI 967 II", "PI 966 II", "PI 965 IB")
    )
    return {Carried.INSTALLED: installed, Carried.PACKED_WITH: packed}.get(
        cells.way or Carried.LOOSE, loose
    )


_RULES = {
    Mode.US_GROUND: "173.185(c)",
    Mode.ADR_ROAD: "SP 188",
    Mode.USPS_DOMESTIC_AIR: "349",
    Mode.USPS_DOMESTIC_SURFACE: "349",
    Mode.USPS_ABROAD: "IMM 135.6",
}


def _lacking(code: str, **figures: float) -> Reason:
    return Reason(Verdict.MISSING_DATA, Sentence(f"missing-{code}", **figures))


def _missing(parcel: Parcel, mode: Mode) -> Iterator[Reason]:
    for item in parcel.lithium:
        amount, _ = energy(item)
        for code, value in (
            ("chemistry", item.chemistry),
            ("unit", item.unit),
            ("count", item.count),
            ("carried", item.way),
            ("test", item.test_summary or None),
            ("lithium" if item.chemistry is Chemistry.METAL else "watt-hours", amount),
        ):
            if value is None:
                yield _lacking(code)
    if parcel.damaged is None:
        yield _lacking("damaged")


def _damaged(parcel: Parcel, mode: Mode) -> Iterator[Reason]:
    if parcel.damaged and mode not in ROADS:
        yield Reason(Verdict.FORBIDDEN, Sentence("damaged"), "173.185(f)")
    elif parcel.damaged and parcel.lithium:
        rule = "173.185(f)" if mode is Mode.US_GROUND else "SP 376"
        yield Reason(Verdict.REFUSED_HERE, Sentence("damaged-road"), rule)


def _too_large(parcel: Parcel, mode: Mode) -> Iterator[Reason]:
    for item in parcel.lithium:
        amount, code = energy(item)
        limit = (road_limit(item) if mode is Mode.US_GROUND else None) or LIMITS[code]
        if item.unit and amount is not None and not limit.holds(amount):
            said = Sentence("too-large", value=amount, limit=limit.value, unit=limit.unit)
            yield Reason(Verdict.FORBIDDEN, said, "Class 9")


def _by_us_ground(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _loose_weight(parcel, LIMITS["loose-gross-kg"].value, "173.185(c)(1)(vii)")


def _by_adr_road(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _loose_weight(parcel, LIMITS["loose-gross-kg"].value, "SP 188")


def _loose_weight(parcel: Parcel, most_kg: float, rule: str) -> Iterator[Reason]:
    if not _any(parcel, Carried.LOOSE):
        return
    if parcel.gross_kg is None:
        yield _lacking("gross")
    elif parcel.gross_kg > most_kg:
        said = Sentence("loose-heavy", gross_kg=parcel.gross_kg, limit=round(most_kg, 2))
        yield Reason(Verdict.FORBIDDEN, said, rule)


def _by_air(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _net_weight(parcel)
    yield from _spares(parcel)
    for item in parcel.lithium:
        rule = rule_of(item, Mode.AIR)
        if item.way is Carried.LOOSE:
            yield Reason(Verdict.REFUSED_HERE, Sentence("loose-by-air"), rule)
        if item.way is Carried.PACKED_WITH and on >= CHARGE_RULE_FROM:
            yield from _charge(item, rule)


def _net_weight(parcel: Parcel) -> Iterator[Reason]:
    # A package that weighs no more than its cells may needs no second weighing.
    limit = LIMITS["air-net-kg"]
    if parcel.net_kg is not None:
        if not limit.holds(parcel.net_kg):
            said = Sentence("air-heavy", net_kg=parcel.net_kg, limit=limit.value)
            yield Reason(Verdict.FORBIDDEN, said, rule_of(parcel.lithium[0], Mode.AIR))
    elif parcel.gross_kg is None:
        yield _lacking("gross")
    elif not limit.holds(parcel.gross_kg):
        yield _lacking("net", limit=limit.value)


def _spares(parcel: Parcel) -> Iterator[Reason]:
    # "Two spare sets" is read as two cells a package, the strictest of the readings.
    beside = [item for item in parcel.lithium if item.way is Carried.PACKED_WITH]
    if any(item.needed is None for item in beside):
        yield _lacking("needed")
        return
    spares, count = LIMITS["air-spares"].value, sum(item.count or 0 for item in beside)
    most = sum(item.needed or 0 for item in beside) + spares
    if beside and count > most:
        said = Sentence("air-too-many", count=count, most=most, spares=spares)
        yield Reason(Verdict.FORBIDDEN, said, rule_of(beside[0], Mode.AIR))


def _charge(item: Cells, rule: str) -> Iterator[Reason]:
    limit = LIMITS["air-charge-percent"]
    small = item.watt_hours is not None and LIMITS["air-charge-from-wh"].holds(item.watt_hours)
    if item.chemistry is Chemistry.METAL or small:
        return
    if item.charge_percent is None:
        yield _lacking("charge")
    elif not limit.holds(item.charge_percent):
        said = Sentence("air-charged", charge=item.charge_percent, limit=limit.value)
        yield Reason(Verdict.FORBIDDEN, said, rule)


def _by_post_at_home(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _too_many(parcel, "usps", "349")
    if parcel.used is None and _any(parcel, Carried.INSTALLED, Carried.PACKED_WITH):
        yield _lacking("used")


def _by_post_surface(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _by_post_at_home(parcel, on)
    yield from _loose_weight(parcel, LIMITS["usps-loose-lb"].value * KG_PER_LB, "349")


def _by_post_air(parcel: Parcel, on: date) -> Iterator[Reason]:
    yield from _by_post_at_home(parcel, on)
    if _any(parcel, Carried.LOOSE):
        yield Reason(Verdict.FORBIDDEN, Sentence("surface-only"), "349")
    if parcel.used and _any(parcel, Carried.INSTALLED, Carried.PACKED_WITH):
        yield Reason(Verdict.FORBIDDEN, Sentence("used-surface-only"), "349")


def _by_post_abroad(parcel: Parcel, on: date) -> Iterator[Reason]:
    rule = "IMM 135.6"
    yield from _too_many(parcel, "abroad", rule)
    packages = LIMITS["unmarked-packages"]
    if not packages.holds(parcel.packages):
        said = Sentence("packages-abroad", limit=packages.value)
        yield Reason(Verdict.FORBIDDEN, said, rule)
    if _any(parcel, Carried.LOOSE, Carried.PACKED_WITH):
        yield Reason(Verdict.FORBIDDEN, Sentence("installed-only"), rule)
    if parcel.used:
        yield Reason(Verdict.FORBIDDEN, Sentence("used-never-abroad"), rule)
    if parcel.used is None:
        yield _lacking("used")


def _too_many(parcel: Parcel, whose: str, rule: str) -> Iterator[Reason]:
    cells, batteries = LIMITS[f"{whose}-cells"], LIMITS[f"{whose}-batteries"]
    if not within(parcel.lithium, cells.code, batteries.code):
        said = Sentence("too-many", cells=cells.value, batteries=batteries.value)
        yield Reason(Verdict.FORBIDDEN, said, rule)


def _any(parcel: Parcel, *ways: Carried) -> bool:
    return any(item.way in ways for item in parcel.lithium)


_BY_MODE: Mapping[Mode, Callable[[Parcel, date], Iterator[Reason]]] = {
    Mode.US_GROUND: _by_us_ground,
    Mode.ADR_ROAD: _by_adr_road,
    Mode.AIR: _by_air,
    Mode.USPS_DOMESTIC_AIR: _by_post_air,
    Mode.USPS_DOMESTIC_SURFACE: _by_post_surface,
    Mode.USPS_ABROAD: _by_post_abroad,
}
