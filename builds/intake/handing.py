"""Carries what came in a parcel to the build that it is matched to, and back again."""

from builds.intake.models import Arrival, ConditionNote, Photo
from builds.progress.models import Build


def hand_over(arrival: Arrival, build: Build) -> None:
    """Give the build its own links to the parcel's photos, and what nobody else claims."""
    for photo in arrival.photos.select_related("view"):
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
