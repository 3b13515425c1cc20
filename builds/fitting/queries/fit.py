"""The fit of builds: hilt and parts as the layout wants them, in bulk; the verdict for the gate."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from builds.engineering.findings import Level
from builds.fitting.fit_words import missing, sentence
from builds.fitting.layout import Item, Layout, Opening, Size, Stretch, lay_out
from builds.fitting.models import BuildPart, Chassis, Plan
from builds.fitting.queries.listed import listed
from builds.hilts.queries import HoleShape, Known, SectionShape, shapes
from builds.hilts.states import JointKind
from builds.progress.models import Build
from builds.progress.states import Kind
from shop.house.queries import house
from shop.stores.models import Part
from shop.stores.queries import own_figures
from shop.web.dated import dated

# What stands across and along the hilt, by kind: diameter, width, height, length in the spec.
_SIZES: dict[str, tuple[str, str, str, str]] = {
    "speaker": ("diameter_mm", "", "", "depth_mm"),
    # In the wall: as wide as its body along the hilt, as high as it reaches behind the wall.
    "switch": ("", "body_mm", "depth_mm", "body_mm"),
    "port": ("", "width_mm", "depth_mm", "width_mm"),
}
_PLAIN = ("diameter_mm", "width_mm", "height_mm", "length_mm")


def size(known: Known | None) -> Size | None:
    """A value in force as the layout takes it, with who said it."""
    if known is None:
        return None
    return Size(known.value, str(known.basis), known.tolerance, _said(known))


def _said(known: Known) -> str:
    day = dated(localtime(known.at), "short in year")
    who = {"by": known.by, "day": day, "like": known.believed_from}
    if known.believed_from:
        return _("believed, from %(like)s") % who
    if known.is_measured:
        return _("measured by %(by)s, %(day)s") % who
    if known.basis == "told":
        return _("told, written down by %(by)s, %(day)s") % who
    return _("believed by %(by)s, %(day)s") % who


def stretch(shape: SectionShape) -> Stretch:
    """A section with what is known of it."""
    known, behind = shape.known, shape.joint_known
    return Stretch(
        key=shape.section.pk,
        name=shape.section.name,
        length=size(known.get("length")),
        bore=size(known.get("bore")),
        outer=size(known.get("outer")),
        holds_blade=shape.section.holds_blade,
        socket_bore=size(known.get("socket-bore")),
        socket_depth=size(known.get("socket-depth")),
        joint=shape.joint.kind if shape.joint else "",
        pitch=size(behind.get("pitch")),
        clock=size(behind.get("clock")) if _turns(shape) else None,
        openings=tuple(_opening(hole) for hole in shape.holes),
    )


def _turns(shape: SectionShape) -> bool:
    return shape.joint is not None and shape.joint.kind == JointKind.THREAD


def _opening(shape: HoleShape) -> Opening:
    around = shape.known.get("around")
    return Opening(
        shape.hole.what,
        size(shape.known.get("diameter")),
        size(shape.known.get("from-front")),
        is_below=around is not None and 90 < around.value % 360 < 270,
    )


def item(row: BuildPart) -> Item:
    """A part of a build with its sizes."""
    spec = row.part.spec if row.part else row.spec
    sizes = sizes_of(row.kind, spec)
    return Item(
        key=row.pk,
        kind=row.kind,
        name=row.name,
        section=row.section_id,
        position=row.position,
        lies_on=row.lies_on_id,
        starts_mm=row.starts_mm,
        quantity=row.quantity if row.kind == "cell" else 1,
        is_typical=bool(row.part and row.part.is_typical),
        **sizes,
    )


def item_of(part: Part, like: Item) -> Item:
    """A part of the stores in the place of one that is chosen."""
    return Item(
        key=like.key, kind=like.kind, name=part.name, section=like.section,
        position=like.position, lies_on=like.lies_on, starts_mm=like.starts_mm,
        quantity=like.quantity, is_typical=part.is_typical, **sizes_of(part.kind, part.spec),
    )  # fmt: skip


def sizes_of(kind: str, spec: dict[str, object]) -> dict[str, float | None]:
    """What a spec says of a part's sizes, by the names of ``Item``."""
    figures = own_figures(kind, spec)
    names = _SIZES.get(kind, _PLAIN)
    found = {
        name: figures.number(names[place]) if names[place] else None
        for place, name in enumerate(_PLAIN)
    }
    return {**found, "bay_mm": figures.number("cell_bay_mm")}


def layouts(builds: Iterable[Build]) -> dict[int, Layout]:
    """Build id → everything in its place, in six queries for all."""
    builds = [build for build in builds if build.hilt]
    if not builds:
        return {}
    known = shapes([build.hilt for build in builds if build.hilt])
    parts = listed(build.pk for build in builds)
    least_depth_mm = house().least_depth_mm
    return {
        build.pk: lay_out(
            [stretch(each) for each in known[build.hilt_id or 0].sections],
            [item(row) for row in parts.get(build.pk, ())],
            least_depth_mm,
        )
        for build in builds
    }


@dataclass(frozen=True)
class Verdict:
    """What the gate asks of a fit: what stops it, what is missing before it can be told."""

    stops: tuple[str, ...] = ()
    missing: tuple[str, ...] = field(default=())

    @property
    def why(self) -> str:
        """The first thing that is in the way; empty where nothing is."""
        return (self.stops or self.missing or ("",))[0]


def verdict(layout: Layout) -> Verdict:
    """A layout as the gate reads it."""
    stops = [sentence(found).head for found in layout.findings if found.level == Level.STOPS]
    lacks = [said.text for lack in layout.lacks if (said := missing(lack)).blocks]
    return Verdict(tuple(stops), tuple(lacks))


def verdicts(builds: Iterable[Build]) -> dict[int, Verdict]:
    """Build id → its verdict, for those whose gate asks for a fit; in six queries for all."""
    builds = [build for build in builds if build.kind in {Kind.FULL, Kind.UPGRADE}]
    if not builds:
        return {}
    chosen = dict(Plan.objects.filter(build__in=builds).values_list("build", "chassis"))
    asked = [build for build in builds if asks_fit(build.kind, chosen.get(build.pk, ""))]
    return {pk: verdict(layout) for pk, layout in layouts(asked).items()}


def asks_fit(kind: str, chassis: str) -> bool:
    """Whether a build goes on only with a fit: full installs, and boards that get a chassis."""
    if kind == Kind.FULL:
        return chassis != Chassis.NONE
    return chassis in {Chassis.REMOVABLE, Chassis.FIXED}
