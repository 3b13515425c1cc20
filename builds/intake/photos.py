"""Keeps photos with parcels and builds. Entered through builds.intake.actions."""

from datetime import datetime
from typing import Any

from django.db import transaction

from builds.intake.handing import give
from builds.intake.models import Arrival, Photo, View
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
        for held in arrival.matches.filter(ended_at=None).select_related("build"):
            give(photo, held.build, arrival)
    return photo


def _parcel_of(build: Build) -> Arrival | None:
    if build.state not in {State.BOOKED, State.INTAKE}:
        return None
    newest = build.matches.filter(ended_at=None).order_by("-at", "-pk").first()
    return newest.arrival if newest else None


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
def drop_photo(photo: Photo, by: User, now: datetime) -> None:
    """Take a photo off a parcel or a build; its bytes stay kept."""
    about = f"build:{photo.build_id}" if photo.build_id else f"arrival:{photo.arrival_id}"
    record("photo_dropped", about, by, now, blob=photo.blob_id)
    photo.delete()
