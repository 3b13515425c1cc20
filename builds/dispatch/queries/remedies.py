"""What would make a refused parcel allowed: each way out is tried by the sums, none guessed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.utils.translation import gettext as _

from builds.dispatch.models import CarrierRule, Service
from builds.dispatch.queries.cells import Contents
from builds.dispatch.queries.classing import Classing, classed
from builds.dispatch.states import Class, Stowage, Terminals
from builds.engineering.lithium import LIMITS, Verdict


@dataclass(frozen=True)
class Remedy:
    """One way out: in words, and as a deed. ``keys`` are the things that it changes."""

    code: str
    words: str
    deed: str = ""
    keys: tuple[str, ...] = ()
    values: Mapping[str, Any] | None = None  # what is said of those things
    service: Service | None = None
    what: str = ""  # is taken out

    @property
    def name(self) -> str:
        """How a form names it."""
        service = f"-{self.service.pk}" if self.service else ""
        return f"{self.code}{service}"


# A way out, and what each parcel holds after it.
Change = tuple[Remedy, *tuple[Contents, ...]]


def remedies(
    classing: Classing, services: Sequence[Service], rules: Mapping[int, Sequence[CarrierRule]]
) -> list[Remedy]:
    """The ways out of a refusal, leaving without a cell first; none where nothing is refused."""
    if classing.state != Class.REFUSED:
        return []
    own = rules.get(classing.service.pk, ()) if classing.service else ()
    others = [row for row in services if row != classing.service and not row.retired]
    found = [
        remedy
        for remedy, *each in _changes(classing.contents)
        if all(_clears(classing, classed(one, classing.service, own, classing.on)) for one in each)
    ]
    found += [
        _by(service)
        for service in others
        if _clears(
            classing, classed(classing.contents, service, rules.get(service.pk, ()), classing.on)
        )
    ]
    return found or list(_both(classing, others, rules))


def _clears(before: Classing, after: Classing) -> bool:
    """Whether nothing is refused any more, and nothing is missing that was not missing before."""
    if after.state == Class.REFUSED or after.lacks:
        return False
    # Of a service that does not get there nobody reckoned what is missing.
    return bool(before.not_there) or _missing(after) <= _missing(before)


def _missing(classing: Classing) -> set[str]:
    return {
        row.sentence.code for row in classing.open_reasons if row.verdict is Verdict.MISSING_DATA
    }


def _both(
    classing: Classing, services: Iterable[Service], rules: Mapping[int, Sequence[CarrierRule]]
) -> Iterator[Remedy]:
    """A change of what is packed and another service together, where neither does alone."""
    for remedy, *each in _changes(classing.contents):
        for service in services:
            own = rules.get(service.pk, ())
            after = [classed(one, service, own, classing.on) for one in each]
            if remedy.values and all(_clears(classing, one) for one in after):
                words = _("%(what)s And send it by %(service)s.") % {
                    "what": remedy.words, "service": service.name,
                }  # fmt: skip
                yield replace(remedy, words=words, service=service)


def _by(service: Service) -> Remedy:
    words = _("Send it by %(service)s (%(way)s).") % {
        "service": service.name, "way": service.get_mode_display(),
    }  # fmt: skip
    return Remedy("service", words, _("Choose %s") % service.name, service=service)


def _changes(contents: Contents) -> Iterator[Change]:
    yield from _without(contents)
    yield from _into_the_hilt(contents)
    yield from _lower_charge(contents)
    yield from _fewer(contents)
    yield from _apart(contents)


def _without(contents: Contents) -> Iterator[Change]:
    hilts = [thing for thing in contents.along if thing.is_build]
    chosen = [[hilt] for hilt in hilts] if len(hilts) > 1 else []
    for some in [*([hilts] if hilts else []), *chosen]:
        keys = tuple(hilt.key for hilt in some)
        names = ", ".join(hilt.name for hilt in some)
        values = {"stowage": Stowage.LEFT_OUT, "terminals": "", "charge_percent": None}
        words = _("Send %s without a cell. The customer reads which one to buy.") % names
        name, deed = f"without-{'-'.join(keys)}", _("Leaves without a cell")
        remedy = Remedy(name, words, deed, keys, values)
        yield remedy, contents.but(keys, stowage=Stowage.LEFT_OUT, charge=None)


def _into_the_hilt(contents: Contents) -> Iterator[Change]:
    beside = [
        thing
        for thing in contents.along
        if thing.is_build and thing.stowage == Stowage.PACKED_WITH and thing.is_bad is False
    ]
    if not beside:
        return
    keys = tuple(thing.key for thing in beside)
    names = ", ".join(thing.name for thing in beside)
    values = {"stowage": Stowage.INSTALLED, "terminals": Terminals.HOLDER}
    words = _("Put the cell into %s, isolated by switch or key.") % names
    remedy = Remedy("installed", words, _("The cell is in the hilt"), keys, values)
    yield remedy, contents.but(keys, stowage=Stowage.INSTALLED)


def _lower_charge(contents: Contents) -> Iterator[Change]:
    most = int(LIMITS["air-charge-percent"].value)
    high = tuple(
        thing.key
        for thing in contents.along
        if thing.stowage == Stowage.PACKED_WITH and thing.charge is not None and thing.charge > most
    )
    if not high:
        return
    words = _("Bring the charge to %d %% or less.") % most
    deed = _("It is at %d %% or less") % most
    remedy = Remedy("charge", words, deed, high, {"charge_percent": most})
    yield remedy, contents.but(high, charge=most)


def _fewer(contents: Contents) -> Iterator[Change]:
    for thing in contents.along:
        if not thing.is_build:
            words = _("Leave %s out: it goes another way.") % thing.name
            rest = tuple(other for other in contents.things if other is not thing)
            remedy = Remedy(
                f"out-{thing.key}", words, _("Take it out"), (thing.key,), what=thing.name
            )
            yield remedy, replace(contents, things=rest)


def _apart(contents: Contents) -> Iterator[Change]:
    hilts = [thing for thing in contents.along if thing.is_build]
    if len(hilts) > 1 and len(hilts) == len(contents.along):
        words = _("Take them out again, and pack one parcel for each hilt.")
        packages = contents.packages + len(hilts) - 1
        alone = [replace(contents, things=(hilt,), packages=packages) for hilt in hilts]
        yield Remedy("apart", words), *alone
