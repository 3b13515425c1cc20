"""Carries what came in a parcel to the build that it is matched to, and back again."""

from django.db.models import Q

from builds.intake.models import Arrival, ConditionNote, Photo
from builds.progress.models import Build


def came_with(build: Build) -> Arrival | None:
    """The parcel that a build's hilt came by: the newest that is matched to it."""
    came = build.matches.filter(ended_at=None).select_related("arrival").order_by("-at", "-pk")
    newest = came.first()
    return newest.arrival if newest else None


def hand_over(arrival: Arrival, build: Build) -> None:
    """Give the build its own links to the parcel's photos, and what nobody else claims.

    A photo that shows one hilt alone goes to no other.
    """
    for photo in arrival.photos.filter(Q(only=None) | Q(only=build)).select_related("view"):
        give(photo, build, arrival)
    arrival.belongings.filter(build=None).update(build=build)
    arrival.cell_checks.filter(build=None).update(build=build)


def give(photo: Photo, build: Build, arrival: Arrival) -> None:
    """Give a build its own link to a parcel's photo; one that it has keeps its own words."""
    facts = {
        "view": photo.view,
        "stage": photo.stage,
        "caption": photo.caption,
        "came_by": arrival,
        "taken_at": photo.taken_at,
        "taken_by_id": photo.taken_by_id,
    }
    own, is_new = Photo.objects.get_or_create(blob_id=photo.blob_id, build=build, defaults=facts)
    if not is_new and own.view is None and photo.view:
        own.view = photo.view
        own.save(update_fields=["view"])


def give_back(arrival: Arrival, build: Build) -> None:
    """Take from a build what came by a parcel, and leave it with the parcel.

    Photos are no longer shared: the customer whom they were shown to is the wrong one.
    """
    arrival.photos.filter(only=build).update(only=None)
    for photo in build.photos.filter(came_by=arrival).select_related("view"):
        _give_photo_back(photo, arrival)
    arrival.belongings.filter(build=build).update(build=None)
    arrival.cell_checks.filter(build=build).update(build=None)


def _give_photo_back(photo: Photo, arrival: Arrival) -> None:
    there = arrival.photos.filter(blob=photo.blob_id).first()
    if there is None:  # taken on the build's own page after the parcel was matched
        photo.arrival, photo.build, photo.came_by, photo.shared = arrival, None, None, False
        photo.save(update_fields=["arrival", "build", "came_by", "shared"])
        return
    there.view, there.caption = photo.view or there.view, photo.caption or there.caption
    there.save(update_fields=["view", "caption"])
    ConditionNote.objects.filter(photo=photo).update(photo=there)
    photo.delete()
