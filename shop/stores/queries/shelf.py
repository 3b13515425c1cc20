"""The list of parts: found by name, label or kind, with what there is of each."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from django.db.models import Case, F, IntegerField, Q, QuerySet, Value, When
from django.utils.translation import ngettext

from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.stores.queries.known import Figure, Figures, figures
from shop.stores.queries.levels import amount
from shop.stores.specs import Unit
from shop.stores.units import figure_shown
from shop.web.prefix import begins

_LABEL = re.compile(r"p\s*0*(\d{1,9})", re.IGNORECASE)
OURS, ALL, IN_STOCK, SHORT, RETIRED = "", "all", "here", "short", "retired"
SHOWS = {OURS, ALL, IN_STOCK, SHORT, RETIRED}
# What tells one part of a kind from another at a glance.
TELLING: Mapping[str, tuple[str, ...]] = {
    PartKind.CELL: ("capacity_mah", "max_current_ma", "diameter_mm", "length_mm"),
    PartKind.BOARD: ("output_ma", "switches", "width_mm", "height_mm", "length_mm"),
    PartKind.SPEAKER: ("diameter_mm", "depth_mm", "ohm", "power_mw"),
    PartKind.STRIP: ("pixels_per_m", "channel_ma", "width_mm"),
    PartKind.LED: ("colour", "forward_mv", "current_ma"),
    PartKind.SWITCH: ("hole_mm", "depth_mm", "current_ma"),
    PartKind.ACCENT: ("pixels", "current_ma", "diameter_mm"),
    PartKind.BLADE: ("diameter_mm", "length_mm", "pixels"),
    PartKind.PROTECTION: ("type", "hold_ma"),
    PartKind.CONNECTOR: ("pins", "current_ma", "diameter_mm"),
    PartKind.PORT: ("width_mm", "height_mm", "charge_ma"),
    PartKind.WIRE: ("gauge", "outer_mm"),
    PartKind.SCREW: ("thread", "length_mm", "key"),
    PartKind.CHASSIS: ("diameter_mm", "length_mm"),
    PartKind.BOX: ("inner_length_mm", "inner_width_mm", "inner_height_mm", "mass_g"),
    PartKind.OTHER: ("diameter_mm", "length_mm"),
}


@dataclass(frozen=True)
class Told:
    """A figure in words; a guess is shown as one."""

    text: str
    is_typical: bool


@dataclass(frozen=True)
class OnShelf:
    """A part with what there is of it, as it is shown."""

    part: Part
    told: tuple[Told, ...]
    free: str
    reserved: str
    on_hand: str
    is_none_free: bool


def found(text: str, kind: str, show: str) -> QuerySet[Part]:
    """Parts of a kind whose name begins with a text or whose label it is, kind by kind."""
    rows = Part.objects.select_related("level").filter(_shown(show))
    if kind in PartKind.values:
        rows = rows.filter(kind=kind)
    if text:
        rows = rows.filter(named(text))
    return rows.order_by(_in_turn(), "name_folded", "pk")


def named(text: str) -> Q:
    """Parts whose name begins with a text, or whose label it is: P0042."""
    label = _LABEL.fullmatch(text.strip())
    meant = begins("name_folded", text)
    return meant | Q(number=int(label[1])) if label else meant


def is_label(text: str) -> bool:
    """Whether a text is what stands on a label."""
    return _LABEL.fullmatch(text.strip()) is not None


def parts_named(text: str) -> QuerySet[Part]:
    """Parts by the beginning of their name or by their label, those offered first."""
    rows = Part.objects.select_related("level").filter(named(text))
    return rows.order_by("retired", "name_folded", "pk")


def _shown(show: str) -> Q:
    if show == RETIRED:
        return Q(retired=True)
    if show == IN_STOCK:
        return Q(retired=False, level__on_hand__gt=0)
    if show == SHORT:
        return Q(retired=False, stocked=True, level__on_hand__lte=F("level__reserved"))
    if show == ALL:
        return Q(retired=False)
    return Q(retired=False) & (Q(stocked=True) | Q(level__on_hand__gt=0))


def has_own() -> bool:
    """Whether the shop keeps any part, beside those that it only knows."""
    return Part.objects.filter(_shown(OURS)).exists()


def _in_turn() -> Case:
    turns = [When(kind=kind, then=Value(turn)) for turn, kind in enumerate(PartKind.values)]
    return Case(*turns, default=Value(len(turns)), output_field=IntegerField())


def how_many_short() -> int:
    """How many parts that the shop keeps in stock have none free."""
    return Part.objects.filter(_shown(SHORT)).count()


def by_kind(parts: Iterable[Part], length_unit: str) -> list[tuple[str, list[OnShelf]]]:
    """Parts as they are shown, in groups of one kind; their figures in one query."""
    parts = list(parts)
    known = figures(parts)
    rows = [_on_shelf(part, known[part.pk], length_unit) for part in parts]
    groups = groupby(rows, key=lambda row: row.part.get_kind_display())
    return [(str(kind), list(some)) for kind, some in groups]


def _on_shelf(part: Part, known: Figures, length_unit: str) -> OnShelf:
    level = part.level
    is_here = part.stocked or level.on_hand
    return OnShelf(
        part=part,
        told=telling(part, known, length_unit),
        free=amount(part, level.free) if is_here else "",
        reserved=amount(part, level.reserved) if level.reserved else "",
        on_hand=amount(part, level.on_hand) if is_here else "",
        is_none_free=part.stocked and level.free <= 0,
    )


def telling(part: Part, known: Figures, length_unit: str) -> tuple[Told, ...]:
    """The few figures that tell a part from others of its kind."""
    some = (known.by_name.get(name) for name in TELLING[part.kind])
    return tuple(
        Told(_told(each, length_unit), each.is_typical) for each in some if each is not None
    )


def _told(figure: Figure, length_unit: str) -> str:
    """A figure that says by itself what it is."""
    shown = figure_shown(figure.quantity, figure.value, length_unit)
    number = int(figure.value) if figure.quantity.unit == Unit.COUNT else 0
    counted = {
        "pixels": ngettext("%s pixel", "%s pixels", number),
        "switches": ngettext("%s switch", "%s switches", number),
        "pins": ngettext("%s pin", "%s pins", number),
    }
    return counted.get(figure.quantity.name, "%s") % shown
