"""Keeps photos with parcels and builds. Entered through builds.intake.actions."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.intake.handing import came_with, give
from builds.intake.models import Arrival, ConditionNote, Photo, View
from builds.intake.refusals import Refused
from builds.progress.actions import locked
from builds.progress.models import Build
from builds.progress.states import State
from shop.files.models import Blob
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def add_photo(
    blob: Blob,
    *,
    arrival: Arrival | None = None,
    build: Build | None = None,
    view: View | None = None,
    by: User,
    now: datetime,
) -> Photo:
    """Keep a photo with a parcel or a build. The same bytes twice are one photo.

    A photo of a parcel is also given to each build that the parcel is matched to. A photo of a
    build that has not left intake shows what came by its parcel, and goes where that goes.
    """
    facts: dict[str, Any] = {"view": view, "taken_at": now, "taken_by": by}
    if arrival:
        Arrival.objects.select_for_update(of=("self",)).get(pk=arrival.pk)
        keys: dict[str, Any] = {"arrival": arrival}
        facts |= {"stage": State.INTAKE}
    elif build:
        build = locked(build.pk)
        keys = {"build": build}
        facts |= {"stage": build.state, "came_by": _parcel_of(build)}
    else:
        raise ValueError("A photo is kept with a parcel or with a build.")
    photo, is_new = Photo.objects.get_or_create(blob=blob, **keys, defaults=facts)
    if is_new:
        about = arrival.about if arrival else f"build:{photo.build_id}"
        record("photo_added", about, by, now, photo=photo.pk)
    elif view and photo.view_id is None:
        photo.view = view
        photo.save(update_fields=["view"])
    if arrival:
        for held in _shown_on(photo):
            give(photo, held, arrival)
    return photo


def _shown_on(photo: Photo) -> QuerySet[Build]:
    """The builds that a parcel's photo belongs to: all that came in it, or one alone."""
    held = Build.objects.filter(matches__arrival=photo.arrival_id, matches__ended_at=None)
    return held.filter(pk=photo.only.pk) if photo.only else held


def _parcel_of(build: Build) -> Arrival | None:
    if build.state not in {State.BOOKED, State.INTAKE}:
        return None
    return came_with(build)


@transaction.atomic
def describe_photo(
    photo: Photo, *, view: View | None, caption: str, shared: bool, by: User, now: datetime
) -> None:
    """Say which view a photo shows, in words, and whether the customer may see it."""
    was_shared = photo.shared
    photo.view, photo.caption, photo.shared = view, caption, shared
    photo.save(update_fields=["view", "caption", "shared"])
    if photo.arrival_id:  # the builds' own links to it say the same
        links = Photo.objects.filter(came_by=photo.arrival_id, blob=photo.blob_id)
        links.update(view=view, caption=caption)
    if was_shared != shared and photo.build_id:
        verb = "photo_shared" if shared else "photo_unshared"
        record(verb, f"build:{photo.build_id}", by, now, photo=photo.pk)


@transaction.atomic
def show_one_alone(photo: Photo, only: Build | None, by: User, now: datetime) -> None:
    """Say which hilt of a parcel a photo shows alone; None: it shows them all.

    The others lose it, and get it back when it shows them all again.

    :raises Refused: it is no photo of a parcel of that build, or a note is marked on it.
    """
    if photo.arrival is None:
        raise Refused(_("This photo is one build's already."))
    arrival = Arrival.objects.select_for_update(of=("self",)).get(pk=photo.arrival.pk)
    if only and not only.matches.filter(arrival=arrival, ended_at=None).exists():
        raise Refused(_("This parcel is not matched to %(number)s.") % {"number": only})
    photo.only = only
    photo.save(update_fields=["only"])
    links = Photo.objects.filter(came_by=arrival, blob=photo.blob_id)
    for other in links.exclude(build=only) if only else ():
        _refuse_if_marked(other)
        other.delete()
    for held in _shown_on(photo):
        give(photo, held, arrival)
    record("photo_of_one" if only else "photo_of_all", arrival.about, by, now, photo=photo.pk)


def _refuse_if_marked(photo: Photo) -> None:
    if ConditionNote.objects.filter(photo=photo).exists():
        raise Refused(
            _("A note on the condition of %(number)s is marked on this photo.")
            % {"number": photo.build}
        )


@transaction.atomic
def drop_photo(photo: Photo, by: User, now: datetime) -> None:
    """Take a photo off a parcel or a build; its bytes stay kept.

    :raises Refused: a note on the hilt's condition is marked on it.
    """
    _refuse_if_marked(photo)
    about = f"build:{photo.build_id}" if photo.build_id else f"arrival:{photo.arrival_id}"
    record("photo_dropped", about, by, now, blob=photo.blob_id)
    photo.delete()
