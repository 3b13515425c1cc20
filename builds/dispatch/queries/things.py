"""The sizes of what lies in a parcel: hilts by their measures, blades and goods by their specs."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.queries.contents import Contents
from builds.engineering.boxes import Bar, Block, Thing
from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import parts_of
from builds.hilts.queries import Shape, shapes
from builds.hilts.states import MeasuredThing
from builds.intake.models import Belonging
from builds.progress.models import Build
from shop.orders.models import Item
from shop.stores.kinds import PartKind

Typed = Mapping[int, tuple[float, float]]  # build id → length and diameter, as somebody typed them
ALUMINIUM_G_PER_MM3 = 0.0027  # common practice, no source: most hilts are of it
HILT_G = 700  # a hilt that nobody measured; common practice, no source


@dataclass(frozen=True)
class Sized:
    """One thing in a parcel: its name, how many, size and mass where they are known."""

    name: str
    count: int
    size: Thing | None
    grams: float | None
    build: Build | None = None  # whose length is asked for where its size is not known
    is_typed: bool = False

    @property
    def sides(self) -> str:
        """Its size in words, whole millimetres."""
        if isinstance(self.size, Bar):
            return f"{math.ceil(self.size.length_mm)} × ⌀ {math.ceil(self.size.diameter_mm)} mm"
        if isinstance(self.size, Block):
            sides = (self.size.length_mm, self.size.width_mm, self.size.height_mm)
            return " × ".join(str(math.ceil(side)) for side in sides) + " mm"
        return ""


def things_in(found: Contents, typed: Typed) -> list[Sized]:
    """What lies in a parcel with sizes, in a constant number of queries.

    :param typed: of builds whose size nobody measured, what was typed on the page.
    """
    builds = [packed.build for packed in found.builds]
    known = shapes(build.hilt for build in builds if build.hilt)
    parts: dict[int, list[BuildPart]] = {}
    for part in parts_of(build.pk for build in builds):
        parts.setdefault(part.build_id, []).append(part)
    rows: list[Sized] = []
    for build in builds:
        rows += _of_build(build, known.get(build.hilt_id or 0), parts.get(build.pk, []), typed)
    own = _belongings(builds, parts)
    return [*rows, *(_goods(item) for item in found.goods), *own]


def laid(rows: Iterable[Sized]) -> list[Thing]:
    """Each thing whose size is known, once for each of it."""
    return [row.size for row in rows if row.size for _ in range(row.count)]


def _of_build(
    build: Build, shape: Shape | None, parts: Sequence[BuildPart], typed: Typed
) -> list[Sized]:
    blades = [part for part in parts if part.kind == PartKind.BLADE]
    inside = sum(_mass(_spec(part)) or 0 for part in parts if part.kind != PartKind.BLADE)
    rows = [
        Sized(part.name, part.quantity, _size(_spec(part)), _mass(_spec(part))) for part in blades
    ]
    if build.hilt:
        rows.insert(0, _hilt(build, shape, inside, typed))
    elif not any(row.size for row in rows):
        told = typed.get(build.pk)
        size = Bar(*told) if told else None
        rows = [Sized(_("blade"), 1, size, None, build, is_typed=told is not None)]
    return rows


def _hilt(build: Build, shape: Shape | None, inside_g: float, typed: Typed) -> Sized:
    size, told = _measured(shape), typed.get(build.pk)
    metal = _metal_g(shape)
    grams = (HILT_G if metal is None else metal) + inside_g
    if size is None and told:
        return Sized(str(build.hilt), 1, Bar(*told), grams, build, is_typed=True)
    return Sized(str(build.hilt), 1, size, grams, None if size else build)


def _measured(shape: Shape | None) -> Bar | None:
    """A hilt's length, pommel to emitter, and its largest outside diameter."""
    if shape is None or not shape.sections:
        return None
    lengths = [each.value(MeasuredThing.LENGTH) for each in shape.sections]
    outers = [each.value(MeasuredThing.OUTER) for each in shape.sections]
    known = [value for value in (*lengths, *outers) if value is not None]
    if len(known) < 2 * len(shape.sections):
        return None
    return Bar(sum(each or 0 for each in lengths), max(each or 0 for each in outers))


def _metal_g(shape: Shape | None) -> float | None:
    """The metal of a hilt by its measures, as if all of it were of aluminium."""
    if shape is None or not shape.sections:
        return None
    whole = 0.0
    for each in shape.sections:
        long, outer = each.value(MeasuredThing.LENGTH), each.value(MeasuredThing.OUTER)
        bore = each.value(MeasuredThing.BORE)
        if long is None or outer is None or bore is None:
            return None
        whole += math.pi / 4 * max(outer**2 - bore**2, 0) * long * ALUMINIUM_G_PER_MM3
    return whole


def _belongings(builds: Sequence[Build], parts: Mapping[int, list[BuildPart]]) -> list[Sized]:
    """What came in the customer's box and goes back; whose size nobody wrote down."""
    listed = {part.belonging_id for some in parts.values() for part in some}
    rows = Belonging.objects.filter(build__in=builds, kept_because="").order_by("pk")
    return [Sized(row.what, row.quantity, None, None) for row in rows if row.pk not in listed]


def _goods(item: Item) -> Sized:
    spec = item.part.spec if item.part else {}
    name = item.part.name if item.part else item.wanted.splitlines()[0][:60]
    return Sized(name, item.quantity, _size(spec), _mass(spec))


def _spec(part: BuildPart) -> Mapping[str, object]:
    spec: Mapping[str, object] = part.part.spec if part.part else part.spec
    return spec


def _size(spec: Mapping[str, object]) -> Thing | None:
    """A thing by the figures of its kind: a bar, a block, None where they do not say."""
    long, across = _figure(spec, "length_mm"), _figure(spec, "diameter_mm")
    if long and across:
        return Bar(long, across)
    deep = _figure(spec, "depth_mm")
    if deep and across:
        return Bar(deep, across)
    wide, high = _figure(spec, "width_mm"), _figure(spec, "height_mm")
    return Block(long, wide, high) if long and wide and high else None


def _mass(spec: Mapping[str, object]) -> float | None:
    return _figure(spec, "mass_g")


def _figure(spec: Mapping[str, object], name: str) -> float | None:
    value = spec.get(name)
    return float(value) if isinstance(value, int | float) and value > 0 else None
