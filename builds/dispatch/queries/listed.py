"""The packing list as its page shows it: lines, belongings, photos of the packed box."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID, uuid4

from builds.dispatch.models import PackTick, Parcel
from builds.dispatch.packing import Line
from builds.dispatch.queries.classing import Classing
from builds.dispatch.queries.packing import OfBuild, Packing, Ticked, packing_of
from builds.intake.models import Belonging, Photo, View
from builds.intake.queries import belongings_of, packed_photos, packed_view


@dataclass(frozen=True)
class Tappable:
    """A line with the token of the next tap on it."""

    line: Line
    tick: PackTick | None
    token: UUID


@dataclass(frozen=True)
class Group:
    """The lines of one build, its cell's and its belongings'."""

    of: OfBuild
    lines: Sequence[Tappable]
    belongings: Sequence[Belonging]
    ends_safe: bool

    @property
    def open_belongings(self) -> list[Belonging]:
        """What is neither back in the box nor told why not."""
        return [one for one in self.belongings if not one.returned_at and not one.kept_because]

    @property
    def open_count(self) -> int:
        """How many lines of the build are still to do."""
        ticks = sum(one.tick is None for one in self.lines)
        return ticks + len(self.open_belongings) + (not self.ends_safe)


@dataclass(frozen=True)
class PackingList:
    """Everything to tick before a parcel leaves."""

    packing: Packing
    groups: Sequence[Group]
    whole: Sequence[Tappable]
    photos: Sequence[Photo]
    unsafe: Sequence[str]  # whose cell nobody has said to be safe
    view: View | None
    without_photo: int

    @property
    def wants_photo(self) -> bool:
        """Whether a photo of the packed box is asked for and not there for each build."""
        return self.view is not None and self.view.required and self.without_photo > 0

    @property
    def open_count(self) -> int:
        """How many lines are still to do: cells, belongings and the photo among them."""
        things = sum(len(group.open_belongings) for group in self.groups)
        cells = sum(not group.ends_safe for group in self.groups)
        return len(self.packing.open) + cells + things + self.wants_photo

    @property
    def all_count(self) -> int:
        """How many lines there are."""
        things = sum(len(group.belongings) for group in self.groups)
        cells = sum(group.of.contained.has_hilt for group in self.groups)
        photo = self.view is not None and self.view.required
        return len(self.packing.all) + cells + things + photo

    @property
    def done_count(self) -> int:
        """How many lines are ticked."""
        return self.all_count - self.open_count


def packing_list(parcel: Parcel, classing: Classing | None) -> PackingList:
    """The packing list of a parcel, in a constant number of queries.

    :param classing: how it is classed, which knows whose cells are safe; None once it left.
    """
    unsafe = {thing.key: thing.name for thing in classing.unsafe} if classing else {}
    packing = packing_of(parcel)
    ids = [one.build.pk for one in packing.builds]
    things = list(belongings_of(ids))
    photos = list(packed_photos(ids))
    shown = {photo.build_id for photo in photos}
    return PackingList(
        packing=packing,
        groups=[
            Group(
                one,
                _tappable(one.lines),
                [it for it in things if it.build_id == one.build.pk],
                ends_safe=f"build-{one.build.pk}" not in unsafe,
            )
            for one in packing.builds
        ],
        whole=_tappable(packing.whole),
        photos=list({photo.blob_id: photo for photo in photos}.values()),
        unsafe=list(unsafe.values()),
        view=packed_view(),
        without_photo=sum(one not in shown for one in ids),
    )


def _tappable(ticked: Sequence[Ticked]) -> list[Tappable]:
    return [Tappable(one.line, one.tick, uuid4()) for one in ticked]
