"""All that the fit page of one build shows: drawings, tables, findings, what would fit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from uuid import uuid4

from builds.engineering.findings import Level
from builds.fitting import drawing
from builds.fitting.drawing import Sheet, shown
from builds.fitting.drawing.reading import least_shown, room_shown, with_unit
from builds.fitting.drawing.words import basis_words, kind_of, size_of
from builds.fitting.fit_words import Missing, Said, Sum, missing, sentence, sums
from builds.fitting.layout import Cut, Item, Layout, Size, Thing, Tube, lay_out, swapped
from builds.fitting.layout.behind import moves_of
from builds.fitting.models import BuildPart, Plan
from builds.fitting.queries.decided import words_by_key
from builds.fitting.queries.findings import Said as Judged
from builds.fitting.queries.findings import decisions_of, said_of_fit
from builds.fitting.queries.fit import item, item_of, stretch
from builds.fitting.queries.listed import listed
from builds.hilts.models import Section
from builds.hilts.queries import shapes
from builds.progress.models import Build
from shop.house.queries import house
from shop.stores.models import Part

MOST_OPTIONS = 4
# What is swapped first where several parts would do: a cell changes what the build can feed.
SWAPPED_FIRST = ("board", "speaker", "connector", "chassis", "other", "cell")


@dataclass(frozen=True)
class Number:
    """A number of the table; the drawing's own numbers carry the same ``of`` and ``mm``."""

    of: str
    mm: str
    text: str
    known: str = ""
    is_sure: bool = True
    basis: str = ""


@dataclass(frozen=True)
class Row:
    """A bore with a combination in it, or a bore that nothing sits in."""

    name: str
    bore: Number | None
    length: Number | None
    outer: Number | None
    what: str
    least: Number | None
    room: Number | None
    letter: str
    fits: bool


@dataclass(frozen=True)
class PartRow:
    """A part with its number in the drawing."""

    number: int
    kind: str
    name: str
    size: str
    where: str
    long: Number | None
    fits: bool


@dataclass(frozen=True)
class Option:
    """A part of the stores that would fit, how much room it leaves, and whether one is free."""

    part: Part
    size: str
    least: Number
    room: Number
    free: int
    token: str
    sheet: Sheet | None = None


@dataclass(frozen=True)
class Advice:
    """What would fit in the place of one that does not."""

    row_id: int
    kind: str
    name: str
    options: tuple[Option, ...]


@dataclass(frozen=True)
class CutShown:
    """A section across with its drawing, and what would fit instead."""

    cut: Cut
    sheet: Sheet
    room: Number
    advice: tuple[Advice, ...] = ()


@dataclass(frozen=True)
class Place:
    """A part that sits somewhere, or nowhere yet."""

    row: BuildPart
    kind: str
    on: tuple[BuildPart, ...]  # what it may lie on
    is_placed: bool
    starts: str  # how far behind its section's front edge, where somebody said so
    is_fitted: bool


@dataclass(frozen=True)
class MoveRow:
    """A part that one tap puts behind what reaches down to it."""

    row_id: int
    part: str
    wall: str
    starts_mm: str


@dataclass(frozen=True)
class FitPage:
    """The page."""

    layout: Layout
    lying: Sheet | None
    upright: Sheet | None
    cuts: tuple[CutShown, ...]
    rows: tuple[Row, ...]
    parts: tuple[PartRow, ...]
    along: tuple[tuple[str, Number], ...]
    said: tuple[tuple[str, tuple[Said, ...]], ...]
    missing: tuple[Missing, ...]
    sums: tuple[Sum, ...]
    places: tuple[Place, ...]
    sections: tuple[Section, ...]
    plan: Plan | None
    judged: tuple[Judged, ...] = ()  # what wants a decision, or has one
    moves: tuple[MoveRow, ...] = ()  # what one tap puts behind what it meets
    unit: str = "mm"  # that its numbers are in

    @property
    def stops(self) -> bool:
        """Whether something stops this build."""
        return any(level == Level.STOPS and said for level, said in self.said)

    @property
    def findings_count(self) -> int:
        """How many findings there are."""
        return sum(len(said) for _level, said in self.said)

    @property
    def to_decide(self) -> list[Judged]:
        """What somebody still has to decide."""
        return [each for each in self.judged if each.is_open]

    @property
    def decided(self) -> list[Judged]:
        """What was decided, by whom and why."""
        return [each for each in self.judged if each.decision]

    @property
    def blocked(self) -> bool:
        """Whether something is missing without which there is no fit to tell."""
        return any(each.blocks for each in self.missing)


def fit_page(build: Build, unit: str = "mm") -> FitPage:
    """The page with its lengths in the unit that the shop reads."""
    with drawing.lengths_in(unit):
        return _fit_page(build)


def _fit_page(build: Build) -> FitPage:
    """Read once, laid out once; at most ten queries."""
    assert build.hilt  # noqa: S101  # the view asks
    shape = shapes([build.hilt])[build.hilt.pk]
    rows = listed([build.pk]).get(build.pk, [])
    given = ([stretch(each) for each in shape.sections], [item(row) for row in rows])
    depth = house().least_depth_mm
    layout = lay_out(*given, depth)
    bad = [cut for cut in layout.shown_cuts if not cut.fits]
    stock = _stock(bad)
    lacks = [missing(lack) for lack in layout.lacks]
    plan = Plan.objects.filter(build=build).first()
    return FitPage(
        layout=layout,
        lying=drawing.lengthwise(layout),
        upright=drawing.upright(layout),
        cuts=tuple(_cut_shown(layout, cut, stock, rows) for cut in layout.shown_cuts),
        rows=tuple(row for tube in layout.tubes for row in _rows(layout, tube)),
        parts=tuple(_part_row(layout, thing) for thing in layout.things),
        along=tuple(_along(layout)),
        said=_said(layout),
        missing=tuple(lacks),
        sums=tuple(sums(layout)),
        places=tuple(_places(rows, layout)),
        sections=tuple(each.section for each in shape.sections),
        plan=plan,
        moves=tuple(
            MoveRow(each.item.key, kind_of(each.item), kind_of(each.wall), f"{each.starts_mm:g}")
            for each in moves_of(layout, *given, depth)
        ),
        judged=_judged(layout, build, plan),
        unit=drawing.unit(),
    )


def number(of: str, value: Size) -> Number:
    """A measured or guessed size as a number of the table."""
    known = value.said or basis_words(value.basis)
    spread = f" ± {shown(value.tolerance)}" if value.tolerance else ""
    return Number(
        of,
        f"{value.mm:.4f}",
        shown(value.mm) + spread,
        known,
        value.is_sure,
        basis_words(value.basis),
    )


def _room(of: str, clearance: float) -> Number:
    text = room_shown(clearance)
    return Number(of, f"{clearance:.4f}", f"+{text}" if clearance > 0 else text)


def _rows(layout: Layout, tube: Tube) -> list[Row]:
    key = tube.given.key
    cuts = sorted(
        (cut for cut in layout.cuts if cut.tube is tube), key=lambda cut: (not cut.letter, cut.x)
    )
    bore = number(f"bore:{key}", tube.bore) if tube.given.bore else None
    long = number(f"length:{key}", tube.length) if tube.given.length else None
    outer = number(f"outer:{key}", tube.outer)
    if not cuts:
        return [Row(tube.name, bore, long, outer, "", None, None, "", fits=True)]
    return [
        _row(cut, f"{key}" if cut.letter else f"{key}:{place}", bore, long, outer)
        if place == 0
        else _row(cut, f"{key}:{place}", None, None, None)
        for place, cut in enumerate(cuts)
    ]


def _row(cut: Cut, key: str, bore: Number | None, long: Number | None, outer: Number | None) -> Row:
    return Row(
        cut.tube.name, bore, long, outer,
        " + ".join(each.name for each in cut.combo.items),
        _least(key, cut),
        _room(f"clearance:{key}", cut.clearance_mm), cut.letter, cut.fits,
    )  # fmt: skip


def _least(key: str, cut: Cut) -> Number:
    least = cut.combo.least_mm
    return Number(f"least:{key}", f"{least:.4f}", least_shown(least))


def _part_row(layout: Layout, thing: Thing) -> PartRow:
    names = {tube.given.key: tube.name for tube in layout.tubes}
    long = thing.x1 - thing.x0
    inside = thing.role in {"base", "rider"} and thing.item.length_mm
    given = Number(
        f"part:{thing.item.key}", f"{long:.4f}", shown(long), "", not thing.item.is_typical
    )
    return PartRow(
        thing.number, kind_of(thing.item), thing.item.name, size_of(thing.item),
        names.get(thing.item.section or 0, ""), given if inside else None, thing.fits,
    )  # fmt: skip


def _along(layout: Layout) -> list[tuple[str, Number]]:
    found: list[tuple[str, Number]] = []
    if layout.blade:
        found.append(("engaged", number("engaged", layout.blade.depth)))
    if layout.slack:
        found += [
            ("gap", Number(f"gap:{place}", f"{gap.mm:.4f}", room_shown(gap.mm)))
            for place, gap in enumerate(layout.gaps, start=1)
        ]
        found.append(
            (
                "slack",
                Number("slack", f"{layout.slack.nominal:.4f}", room_shown(layout.slack.nominal)),
            )
        )
    if layout.whole:
        spread = layout.whole.worst_high - layout.whole.nominal
        text = shown(layout.whole.nominal) + (f" ± {shown(spread)}" if spread else "")
        found.append(("whole", Number("whole", f"{layout.whole.nominal:.4f}", text)))
    return found


def _said(layout: Layout) -> tuple[tuple[str, tuple[Said, ...]], ...]:
    every = [sentence(found) for found in layout.findings]
    return tuple(
        (level.value, tuple(each for each in every if each.level == level))
        for level in (Level.STOPS, Level.DECIDE, Level.KNOW)
    )


def _judged(layout: Layout, build: Build, plan: Plan | None) -> tuple[Judged, ...]:
    """What is to be decided, with what was; nothing is read where nothing is."""
    if not any(found.level is Level.DECIDE for found in layout.findings):
        return ()
    words = words_by_key(decisions_of([build.pk]), build.pk, plan)
    return tuple(each for each in said_of_fit(layout, words) if each.level is Level.DECIDE)


def _places(rows: Sequence[BuildPart], layout: Layout) -> list[Place]:
    wanted = {thing.item.key for thing in layout.things} | {each.key for each in layout.unplaced}
    placed = {thing.item.key for thing in layout.things}
    there = [row for row in rows if row.pk in wanted]
    places = [
        Place(
            row, str(row.get_kind_display()), tuple(each for each in there if each is not row),
            row.pk in placed,
            "" if row.starts_mm is None else with_unit(shown(row.starts_mm)),
            row.fitted_at is not None,
        )
        for row in there
    ]  # fmt: skip
    return sorted(places, key=lambda each: each.is_placed)


def _stock(bad: Sequence[Cut]) -> list[Part]:
    """What the stores have of the kinds that do not fit; nothing is read where everything fits."""
    kinds = {each.kind for cut in bad for each in cut.combo.items}
    if not kinds:
        return []
    there = Part.objects.filter(kind__in=kinds, retired=False)
    return list(there.select_related("level"))


def _cut_shown(
    layout: Layout, cut: Cut, stock: Sequence[Part], rows: Sequence[BuildPart]
) -> CutShown:
    sheet = drawing.across(layout, cut, f"cut-{cut.letter}")
    room = _room(f"clearance:{cut.tube.given.key}", cut.clearance_mm)
    if cut.fits:
        return CutShown(cut, sheet, room)
    fitted = {row.pk for row in rows if row.fitted_at}
    order = sorted(
        cut.combo.items,
        key=lambda each: SWAPPED_FIRST.index(each.kind) if each.kind in SWAPPED_FIRST else 9,
    )
    advice = (_advice(layout, cut, old, stock) for old in order if old.key not in fitted)
    # Another cell changes what the build can feed: named only where no other part helps.
    first = next((each for each in advice if each.options), None)
    return CutShown(cut, sheet, room, (first,) if first else ())


def _advice(layout: Layout, cut: Cut, old: Item, stock: Sequence[Part]) -> Advice:
    found = []
    for part in stock:
        if part.kind != old.kind:
            continue
        new = _with(cut, old, part)
        if new and new.fits and part.name != old.name:
            found.append((_free(part), new, part))
    # What is there comes first; among these the one that changes least.
    found.sort(key=lambda each: (each[0] == 0, each[1].clearance_mm, each[2].pk))
    options = tuple(
        _option(layout, new, part, old, free, is_first=place == 0)
        for place, (free, new, part) in enumerate(found[:MOST_OPTIONS])
    )
    return Advice(old.key, kind_of(old), old.name, options)


def _free(part: Part) -> int:
    level = getattr(part, "level", None)
    return level.free if level else 0


def _with(cut: Cut, old: Item, part: Part) -> Cut | None:
    combo = swapped(cut.combo, old, item_of(part, old))
    if combo is None:
        return None
    room = round(cut.tube.bore.mm - combo.least_mm, 6) + 0.0
    return replace(cut, combo=combo, clearance_mm=room)


def _option(
    layout: Layout, cut: Cut, part: Part, old: Item, free: int, *, is_first: bool
) -> Option:
    name = f"{cut.tube.given.key}-{part.pk}"
    sheet = drawing.across(layout, cut, f"cut-{cut.letter}-{part.pk}", name) if is_first else None
    new = next(each for each in cut.combo.items if each.key == old.key)
    room = _room(f"clearance:{name}", cut.clearance_mm)
    return Option(part, size_of(new), _least(name, cut), room, free, str(uuid4()), sheet)
