"""Reads the booklets of builds: the newest made, and what customers may see."""

from collections.abc import Iterable

from builds.handover.models import Booklet
from builds.handover.states import Type
from shop.web.reading import each_once

BySize = dict[str, Booklet]


def booklets(build_ids: Iterable[int]) -> dict[int, list[Booklet]]:
    """Build id → its booklets, the newest first; for builds that have any."""
    return each_once(booklets, _booklets, build_ids)


def newest_booklets(build_ids: Iterable[int]) -> dict[int, BySize]:
    """Build id → size of type → the newest booklet, published or not."""
    return {pk: _by_size(rows) for pk, rows in booklets(build_ids).items()}


def published_booklets(build_ids: Iterable[int]) -> dict[int, BySize]:
    """Build id → size of type → the booklet that its customer may see; others are left out."""
    found = {
        pk: _by_size([row for row in rows if row.published_at])
        for pk, rows in booklets(build_ids).items()
    }
    return {pk: sizes for pk, sizes in found.items() if sizes}


def in_order(by_size: BySize) -> list[Booklet]:
    """Usual type first."""
    return [by_size[size] for size in Type.values if size in by_size]


def _booklets(build_ids: list[int]) -> dict[int, list[Booklet]]:
    found: dict[int, list[Booklet]] = {}
    rows = Booklet.objects.filter(build__in=build_ids).select_related("blob", "build", "made_by")
    for row in rows.order_by("-made_at", "-pk"):
        found.setdefault(row.build_id, []).append(row)
    return found


def _by_size(rows: Iterable[Booklet]) -> BySize:
    found: BySize = {}
    for row in rows:
        found.setdefault(row.type_size, row)
    return found
