"""Which parcels a pasted tracking number may be for, and by what each of them goes."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.pasted import Known, folded, number_names, tray_names
from builds.dispatch.queries import on_the_way, trays_left
from builds.progress.models import Build, Tray

LEFT_SINCE = timedelta(days=60)


def known_parcels(now: datetime) -> list[Known]:
    """Parcels that wait or left lately, with all that people call them, in constant queries."""
    return _known_of(on_the_way(now - LEFT_SINCE))


def untracked(now: datetime) -> list[Known]:
    """Those that have no number yet: few, however many left lately."""
    return _known_of(on_the_way(now - LEFT_SINCE).filter(tracking=""))


def _known_of(rows: Iterable[Parcel]) -> list[Known]:
    parcels = list(rows)
    trays = trays_left(packed.build_id for parcel in parcels for packed in _inside(parcel))
    return [_known(parcel, trays) for parcel in parcels if _inside(parcel)]


def carrier_of(untold: Iterable[Known], before: Sequence[str]) -> str:
    """The one carrier of them all; none where they differ; of no service: who carried before."""
    found = {one.carrier for one in untold}
    if found - {""}:
        return found.pop() if len(found) == 1 else ""
    return next(iter(before), "")


def _inside(parcel: Parcel) -> list[Packed]:
    return list(parcel.inside)  # type: ignore[attr-defined]


def _known(parcel: Parcel, trays: dict[int, Tray]) -> Known:
    builds: list[Build] = [packed.build for packed in _inside(parcel)]
    names: set[str] = set()
    for build in builds:
        names |= _names(build, build.tray or trays.get(build.pk))
    who = builds[0].item.order.customer.called
    what = ", ".join(f"{build} {build.hilt or ''}".strip() for build in builds)
    return Known(
        parcel.pk, f"{what} ({who})", frozenset(names - {""}), parcel.tracking, parcel.carried_by
    )


def _names(build: Build, tray: Tray | None) -> set[str]:
    customer, order = build.item.order.customer, build.item.order
    first, _gap, family = customer.full_name.rpartition(" ")
    said = {
        customer.full_name,
        customer.called,
        f"{family} {first}",
        f"{customer.called} {family}",
        family,
        build.hilt.name if build.hilt else "",
        order.number,
    }
    return (
        {folded(name) for name in said}
        | number_names(build.number)
        | (tray_names(tray.number) if tray else set())
    )
