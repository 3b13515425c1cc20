"""What is asked before a build ends unfinished: what goes back, the money, a damaged cell."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.gates.known import Condition, Known, Question, condition
from builds.gates.money import settled_unfinished
from builds.intake.models import CellResult
from builds.progress.states import Leaves, State

_CELL_FOUND = {
    CellResult.ASIDE: gettext_lazy("The cell was set aside as damaged."),
    CellResult.REWRAP: gettext_lazy("The cell's wrap is torn."),
    "drained": gettext_lazy("The cell is over-discharged."),
}


def accounted_unfinished(known: Known) -> Condition | None:
    # Their own are ticked as it ends; what is left is what nobody claims of a shared box.
    if known.build.hilt is None:
        return None
    open_ones = known.intake.unaccounted
    return condition(
        "accounted",
        not open_ones,
        _("Belongings accounted for"),
        _("Does it go back, or stay? %s") % ", ".join(open_ones),
        _("Say it"),
        "#belongings",
    )


def cell_aside_unfinished(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    why = known.intake.why_cell_stays
    return condition(
        "cell-aside",
        not why,
        _("No damaged cell goes along"),
        _(
            "%(found)s It does not go by post. Hand the hilt over in person; or keep the cell "
            "here, and write down that none is inside."
        )
        % {"found": _CELL_FOUND.get(why, _CELL_FOUND[CellResult.ASIDE])},
        _("Check the cell"),
        "#cell",
        never_pass=True,
    )


# What ends unfinished still gives back what came, and a damaged cell goes by no post.
ENDING: tuple[Question, ...] = (accounted_unfinished, settled_unfinished, cell_aside_unfinished)


def asked_to_end(ending: str, goes: str) -> tuple[Question, ...]:
    """What is asked before a build ends unfinished.

    :param goes: how its hilt goes back; what nobody said is asked for as if it went by post.
    """
    if ending == State.ABANDONED:  # hilt, box and cell stay here
        return (settled_unfinished,)
    if goes == Leaves.COLLECTION:  # a cell of their own is handed over, with a caution
        return (accounted_unfinished, settled_unfinished)
    return ENDING
