"""Photos of a build or a parcel, beside the views that are still to take."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from django.db.models import QuerySet

from builds.intake.models import Arrival, Photo, View
from builds.intake.queries import PACKED_VIEW, facts, photos_of
from builds.progress.models import Build
from builds.progress.states import Leaves, State

SHOWN = 12  # what a phone shows without a long way to the camera


@dataclass(frozen=True)
class Pictures:
    """The photos of a build or parcel, the views still to take, and the one that is next."""

    photos: Sequence[Photo]
    missing: Sequence[View]
    choices: Sequence[View]
    # Where a parcel holds several hilts: those that a photo may show alone.
    hilts: Sequence[Build] = ()

    @property
    def next_view(self) -> View | None:
        """The view to take next."""
        return self.missing[0] if self.missing else None

    @property
    def newest(self) -> Sequence[Photo]:
        """What stands open on the page, in the order of taking."""
        return self.photos[-SHOWN:]

    @property
    def older(self) -> Sequence[Photo]:
        """What is folded away."""
        return self.photos[:-SHOWN]


def pictures_of(build: Build) -> Pictures:
    """A build's photos, and the views of its stage that nobody has taken."""
    photos = list(photos_of(build.pk))
    return _pictures(photos, _asked_of(build), {photo.view_id for photo in photos})


def pictures_of_parcel(arrival: Arrival, builds: Sequence[Build]) -> Pictures:
    """A parcel's photos, and the views of intake that its builds do not have from elsewhere."""
    photos = list(arrival.photos.select_related("blob", "view", "only__hilt"))
    taken: set[int | None] = {photo.view_id for photo in photos}
    known: list[set[int | None]] = [
        {*each.view_ids} for each in facts(build.pk for build in builds).values()
    ]
    if known:
        taken |= set.intersection(*known)
    asked = _views().filter(stage=State.INTAKE, required=True)
    # Of what is no build's nobody asks for views.
    found = _pictures(photos, View.objects.none() if arrival.went else asked, taken)
    return replace(found, hilts=builds if len(builds) > 1 else ())


def _views() -> QuerySet[View]:
    return View.objects.filter(retired=False)


def _asked_of(build: Build) -> QuerySet[View]:
    stage = build.state
    if stage == State.BOOKED and build.matches.filter(ended_at=None).exists():
        stage = State.INTAKE  # it is here: unboxing does not wait for the order
    if build.hilt is None:
        return View.objects.none()
    asked = _views().filter(stage=stage, required=True)
    # What is collected in person has no packed box to show.
    return asked if build.leaves_by == Leaves.POST else asked.exclude(code=PACKED_VIEW)


def _pictures(
    photos: Sequence[Photo], asked: QuerySet[View], taken: Collection[int | None]
) -> Pictures:
    return Pictures(photos, [view for view in asked if view.pk not in taken], list(_views()))
