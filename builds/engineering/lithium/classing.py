"""The class of a parcel: everything that is known of it, weighed together."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builds.engineering.lithium.contents import (
    Carried,
    Cells,
    Chemistry,
    Mode,
    Parcel,
    Unit,
    Verdict,
    one_of,
)
from builds.engineering.lithium.limits import (
    CHARGE_RULE_FROM,
    CHECKED_ON,
    LIMITS,
    OLD_MARK_UNTIL,
    Limit,
    looked_at,
)
from builds.engineering.lithium.marking import Mark, mark, texts
from builds.engineering.lithium.rules import Reason, against, rule_of
from builds.engineering.lithium.sentences import Sentence

_ORDER = list(Verdict)
_UNCLASSED = ("Class 9", "173.185(f)", "SP 376", "PI 965 IB", "PI 968 IB")


@dataclass(frozen=True)
class Classed:
    """What a parcel is, whether it may go, and what stands on it.

    ``un`` and ``rule`` name several where a parcel is mixed. ``limits`` are what it was held
    against; ``reasons`` say why, what is missing among them; ``cautions`` what to mind anyway.
    ``against`` is what speaks against it, the heaviest first, each with its own weight and rule.
    """

    verdict: Verdict
    un: str
    rule: str
    mark: Mark
    texts: tuple[str, ...]
    limits: tuple[Limit, ...]
    reasons: tuple[Sentence, ...]
    cautions: tuple[Sentence, ...]
    against: tuple[Reason, ...] = ()

    @property
    def allowed(self) -> bool:
        """Whether it may go."""
        return self.verdict is Verdict.ALLOWED


def classify(parcel: Parcel, mode: Mode, on: date) -> Classed:
    """How a parcel with cells is classed for a way of travelling on a day.

    The heaviest of what speaks against it decides: forbidden, refused here, missing data; only
    where nothing does, it is allowed. No limit has a number anywhere but in ``LIMITS``.

    Source: 49 CFR 173.185; USPS Publication 52 section 349 and IMM 135.6; IATA packing
    instructions 965 to 970; ADR special provision 188; each limit with its edition in the table.
    SP 376 and the packing instructions of metal cells are from memory.

    :raises ValueError: where the way of travelling is not known.
    """
    travelling = one_of(Mode, mode, "The way of travelling")
    found = against(parcel, travelling, on)
    verdict = max(found, key=_weight).verdict if found else Verdict.ALLOWED
    heaviest = [reason for reason in found if reason.verdict is verdict]
    usual = _joined(rule_of(item, travelling) for item in parcel.lithium)
    rule = next((reason.rule for reason in heaviest if reason.rule), usual)
    whether, why = mark(parcel, travelling)
    found = sorted(dict.fromkeys(found), key=_weight, reverse=True)
    said = [reason.sentence for reason in found]
    if rule in _UNCLASSED:
        whether = Mark.NONE  # such a parcel bears labels that this tool does not know
    else:
        said.append(why)
    return Classed(
        verdict,
        _joined(_un(item) for item in parcel.lithium),
        rule,
        whether,
        texts(parcel, travelling),
        looked_at(parcel.lithium, travelling, whether is Mark.REQUIRED),
        tuple(dict.fromkeys(said)),
        tuple(dict.fromkeys(_cautions(parcel, travelling, on, whether))),
        tuple(found),
    )


def _weight(reason: Reason) -> int:
    return _ORDER.index(reason.verdict)


def _joined(words: Iterator[str]) -> str:
    return ", ".join(dict.fromkeys(word for word in words if word))


def _un(cells: Cells) -> str:
    loose = cells.way is Carried.LOOSE
    if cells.chemistry is None or cells.way is None:
        return ""
    if cells.chemistry is Chemistry.METAL:
        return "UN3090" if loose else "UN3091"
    return "UN3480" if loose else "UN3481"


def _cautions(parcel: Parcel, mode: Mode, on: date, whether: Mark) -> Iterator[Sentence]:
    yield Sentence("aid")
    for item in parcel.items:
        yield Sentence("switched-off" if item.way is Carried.INSTALLED else "terminals")
    if any(item.unit is Unit.BATTERY for item in parcel.lithium):
        yield Sentence("welded")
    if mode in (Mode.AIR, Mode.USPS_DOMESTIC_AIR, Mode.USPS_ABROAD):
        yield from _by_air(parcel, mode, on, whether)
    if mode is Mode.USPS_ABROAD and parcel.lithium:
        yield Sentence("destination")
    if whether is Mark.REQUIRED:
        code = "old-mark" if on <= OLD_MARK_UNTIL else "old-mark-over"
        yield Sentence(code, until=OLD_MARK_UNTIL.isoformat())
    if (on - CHECKED_ON).days > 365:
        yield Sentence("table-old", checked=f"{CHECKED_ON:%Y-%m}")


def _by_air(parcel: Parcel, mode: Mode, on: date, whether: Mark) -> Iterator[Sentence]:
    limit = LIMITS["air-charge-percent"]
    for item in parcel.lithium:
        bound = mode is Mode.AIR and item.way is Carried.PACKED_WITH and on >= CHARGE_RULE_FROM
        low = item.charge_percent is not None and limit.holds(item.charge_percent)
        if item.chemistry is Chemistry.ION and not bound and not low:
            yield Sentence("charge-advised", limit=limit.value)
        if mode is Mode.AIR and whether is Mark.REQUIRED:
            yield Sentence("waybill", rule=rule_of(item, mode))
