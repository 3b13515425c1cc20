"""Hilts that leave, or left, without a cell: which one their owners are to buy."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from builds.dispatch.models import Packed, Stowed
from builds.dispatch.queries.told import Told, told_of_builds
from builds.dispatch.states import Chemistry, Stowage
from shop.web.figures import pointed


def cells_to_buy(build_ids: Iterable[int]) -> dict[int, list[str]]:
    """Build id → the cells it wants, of builds in a parcel without theirs; in constant queries.

    Empty where nobody wrote down what it runs on: then all that is known is that none is inside.
    """
    ids = list(build_ids)
    lies_in = dict(
        Packed.objects.filter(build__in=ids, taken_out_at=None).values_list("build", "parcel")
    )
    rows = Stowed.objects.filter(build__in=ids, stowage=Stowage.LEFT_OUT)
    answers = {
        row.build_id: row
        for row in rows
        if row.build_id and lies_in.get(row.build_id) == row.parcel_id
    }
    told = told_of_builds(ids)
    return {
        build_id: [_in_words(each) for each in told.get(build_id, ())] or _as_typed(answer)
        for build_id, answer in answers.items()
    }


def _in_words(told: Told) -> str:
    return f"{told.count} × {told.name}" if (told.count or 1) > 1 else told.name


def _as_typed(answer: Stowed) -> list[str]:
    if not answer.chemistry and not answer.watt_hours:
        return []
    kind = str(Chemistry(answer.chemistry).label) if answer.chemistry else _("battery")
    figures = [pointed(f"{answer.watt_hours:.4g}") + "\u202fWh"] if answer.watt_hours else []
    words = ", ".join([kind, *figures])
    return [f"{answer.count} × {words}" if (answer.count or 1) > 1 else words]
