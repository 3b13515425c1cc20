"""Reads builds, moves and holds."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Count, Max, Q, QuerySet

from builds.progress.models import Build, Hold, Move, Place, Tray
from builds.progress.states import STAGES, UNDO_WITHIN, State
from shop.clock import lately
from shop.orders.models import QuoteState
from shop.stores.queries.buying import lines_come
from shop.web.reading import each_once


def builds() -> QuerySet[Build]:
    """Builds with all that a row of them shows."""
    return Build.objects.select_related(
        "hilt", "hilt__customer", "item__order__customer", "tray", "place", "started_by", "blade"
    )


def locked(build_id: int) -> Build:
    """The build, its row locked until the transaction ends."""
    return Build.objects.select_for_update(of=("self",)).select_related("hilt").get(pk=build_id)


def open_builds() -> QuerySet[Build]:
    """Builds that have not ended, in the order of their waiting."""
    return builds().filter(state__in=STAGES).order_by("state_since", "number")


def count_by_state() -> dict[str, int]:
    """How many open builds stand in each stage, the empty ones too."""
    counted = Build.objects.filter(state__in=STAGES).values_list("state").annotate(n=Count("pk"))
    return {**dict.fromkeys(STAGES, 0), **dict(counted.order_by())}


def standing_holds() -> QuerySet[Hold]:
    """Holds that are not over: nobody ended them, and what they wait for has not come.

    What they wait for is parts, or the answer to a quote.
    """
    unanswered = Q(quote=None) | Q(quote__state__in=(QuoteState.DRAFT, QuoteState.SENT))
    standing = Hold.objects.filter(unanswered, ended_at=None)
    standing = standing.exclude(line__in=lines_come().values("pk"))
    return standing.select_related("line__part", "line__purchase__supplier", "quote")


def open_holds(build_ids: Iterable[int]) -> dict[int, list[Hold]]:
    """Build id → its open holds, the oldest first."""
    return each_once(open_holds, _open_holds, build_ids)


def _open_holds(build_ids: list[int]) -> dict[int, list[Hold]]:
    return _by_build(standing_holds().filter(build__in=build_ids).order_by("since"))


def freed_holds(build_ids: Iterable[int]) -> dict[int, list[Hold]]:
    """Build id → holds that are over because the parts came, the newest first.

    Each carries ``came_at``; ``ended_at`` is empty until somebody has taken note.
    """
    came = Hold.objects.filter(build__in=list(build_ids), line__in=lines_come().values("pk"))
    stands = Q(line__came__delivery__taken_back_at=None)
    told = came.annotate(came_at=Max("line__came__delivery__came_at", filter=stands))
    return _by_build(told.select_related("line__part", "line__purchase").order_by("-came_at"))


def _by_build(holds: Iterable[Hold]) -> dict[int, list[Hold]]:
    grouped: dict[int, list[Hold]] = defaultdict(list)
    for found in holds:
        grouped[found.build_id].append(found)
    return grouped


def last_move(build: Build) -> Move | None:
    """The newest move of a build.

    By its row, not its time: moves of one build are written under its lock, one after the other,
    while a clock may be set back.
    """
    return build.moves.select_related("by").order_by("-pk").first()


def back_since(build_ids: Iterable[int]) -> dict[int, datetime]:
    """Build id → when it last came back to be taken apart, after parts had gone in."""
    return each_once(back_since, _back_since, build_ids)


def _back_since(build_ids: list[int]) -> dict[int, datetime]:
    back = Move.objects.filter(
        build__in=build_ids,
        from_state__in=[State.INSTALL, State.TEST, State.DISPATCH],
        to_state__in=[State.INTAKE, State.TEARDOWN],
        undoes=None,
    )
    return dict(back.order_by().values_list("build").annotate(Max("at")))


def still_so(seen_at: datetime | None, back: datetime | None) -> bool:
    """Whether what was seen on the hilt still says something: it did not come apart since."""
    return seen_at is not None and (back is None or seen_at >= back)


def undoable(now: datetime) -> list[Move]:
    """Moves of the last minute that can still be taken back, the newest first."""
    # Their ids first: with tables joined on, SQLite goes through all moves there ever were.
    recent = Move.objects.filter(lately("at", UNDO_WITHIN, now)).values("pk")
    rows = Move.objects.filter(pk__in=recent).select_related("build__hilt", "by")
    moves = list(rows.order_by("-pk"))
    newest: dict[int, Move] = {}
    for found in moves:
        newest.setdefault(found.build_id, found)
    return [found for found in newest.values() if found.undoes_id is None]


def in_its_minute(move: Move, now: datetime) -> bool:
    """Whether so little time has passed since a move that it may be taken back."""
    return now - move.at < UNDO_WITHIN


def free_trays() -> QuerySet[Tray]:
    """Trays in use that hold no open build."""
    taken = Build.objects.filter(state__in=STAGES, tray__isnull=False).values("tray")
    return Tray.objects.filter(retired=False).exclude(pk__in=taken)


def places() -> QuerySet[Place]:
    """Places in use."""
    return Place.objects.filter(retired=False)
