"""What changes the trays and the places of the shop."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.models import Build, Place, Tray
from builds.progress.states import STAGES
from shop.history.actions import record
from shop.people.models import User

TRAYS_TO_BEGIN_WITH = 20


class InUse(Exception):
    """A tray or a place cannot go: something stands in it. Its text says what."""


def make_default_places() -> None:
    """Trays and places to begin with. The caller holds the transaction."""
    if not Tray.objects.exists():
        Tray.objects.bulk_create(Tray(number=n) for n in range(1, TRAYS_TO_BEGIN_WITH + 1))
    if not Place.objects.exists():
        names = [_("Shelf A"), _("Shelf B"), _("Blade rack")]
        Place.objects.bulk_create(Place(name=name) for name in names)


@transaction.atomic
def add_trays(how_many: int, *, by: User, now: datetime) -> list[int]:
    """Add trays with the numbers that follow the highest."""
    highest = Tray.objects.order_by("-number").values_list("number", flat=True).first() or 0
    numbers = list(range(highest + 1, highest + how_many + 1))
    Tray.objects.bulk_create(Tray(number=number) for number in numbers)
    record("trays_added", "house", by, now, first=numbers[0], last=numbers[-1])
    return numbers


@transaction.atomic
def retire_tray(tray_pk: int, retired: bool, *, by: User, now: datetime) -> Tray:
    """Give a tray out no more, or again; InUse while a build has it."""
    tray = Tray.objects.select_for_update().get(pk=tray_pk)
    if retired:
        _refuse_if_used(Build.objects.filter(tray=tray, state__in=STAGES).first())
    tray.retired = retired
    tray.save(update_fields=["retired"])
    record("tray_retired" if retired else "tray_back", f"tray:{tray.pk}", by, now)
    return tray


@transaction.atomic
def add_place(name: str, *, by: User, now: datetime) -> Place:
    """Add a shelf or a corner."""
    place = Place.objects.create(name=name)
    record("place_added", f"place:{place.pk}", by, now)
    return place


@transaction.atomic
def rename_place(place_pk: int, name: str, *, by: User, now: datetime) -> Place:
    """Call a place something else."""
    place = Place.objects.select_for_update().get(pk=place_pk)
    place.name = name
    place.save(update_fields=["name"])
    record("place_renamed", f"place:{place.pk}", by, now)
    return place


@transaction.atomic
def retire_place(place_pk: int, retired: bool, *, by: User, now: datetime) -> Place:
    """Offer a place no more, or again; InUse while something stands there."""
    place = Place.objects.select_for_update().get(pk=place_pk)
    if retired:
        _refuse_if_used(Build.objects.filter(place=place, state__in=STAGES).first())
    place.retired = retired
    place.save(update_fields=["retired"])
    record("place_retired" if retired else "place_back", f"place:{place.pk}", by, now)
    return place


def _refuse_if_used(build: Build | None) -> None:
    if build is not None:
        raise InUse(_("Build %(number)s stands there. Move it first.") % {"number": build})
