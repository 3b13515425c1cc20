"""What is asked at each gate: one function a condition, and the tables of who is asked what."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from builds.dispatch.models import Parcel
from builds.gates.models import Pass
from builds.intake.models import CellResult, View
from builds.intake.queries import PACKED_VIEW, Facts
from builds.progress.models import Build, Hold
from builds.progress.states import Kind, Leaves, State
from shop.orders.models import Answer, AnswerKind
from shop.orders.queries.ledger import Standing

MET, UNMET, PASSED = "met", "unmet", "passed"
START, LEAVE = "start", "leave"


@dataclass(frozen=True)
class Condition:
    """One condition: its answer, in words, and where it is met.

    ``deed`` is what a button says that leads there; ``link`` is the part of the build sheet.
    A condition that does not apply is not listed.
    """

    code: str
    state: str
    text: str
    deed: str = ""
    link: str = ""
    never_pass: bool = False

    @property
    def is_open(self) -> bool:
        """Whether the build may go by it."""
        return self.state in {MET, PASSED}


@dataclass(frozen=True)
class Known:
    """All that the conditions of one build are answered from."""

    build: Build
    intake: Facts
    views: dict[str, list[View]]
    answers: dict[tuple[int, str], Answer]
    holds: list[Hold] = field(default_factory=list)
    parcel: Parcel | None = None
    back_since: datetime | None = None  # parts had gone in, and with them a cell
    passes: dict[tuple[str, str], Pass] = field(default_factory=dict)
    money: Standing = field(default_factory=Standing)
    others_stay: bool = False  # another open build of its order lies in no parcel
    leaving_share: int = 0  # of what is charged: what left, what is packed, and this one
    keeps_deposit: bool = True


Question = Callable[[Known], Condition | None]


def _condition(
    code: str, met: bool, yes: str, no: str, deed: str, link: str, **more: bool
) -> Condition:
    return Condition(code, MET if met else UNMET, yes if met else no, deed, link, **more)


def _arrived(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return _condition(
        "arrived",
        bool(known.intake.arrivals),
        _("Arrived"),
        _("Not arrived yet"),
        _("Log its arrival"),
        "#arrival",
    )


def _agreed(known: Known) -> Condition | None:
    return _answered(
        known, AnswerKind.AGREED, _("Agreed"), _("Not agreed yet"), _("Record the yes")
    )


def _deposit(known: Known) -> Condition | None:
    # No sum in the words: the bench reads them too.
    money = known.money
    if not money.deposit_asked or money.on_account:
        return None
    return _condition(
        "deposit",
        not money.deposit_due,
        _("Deposit in"),
        _("The deposit has not come yet"),
        _("Note the deposit"),
        _ledger(known),
    )


def _settled(known: Known) -> Condition | None:
    """Asked as a build leaves finished: the whole order, or what leaves of it before the rest."""
    money = known.money
    if money.charged is None:
        return None
    part = known.leaving_share if known.others_stay else money.charged
    return _condition(
        "settled",
        money.on_account or part <= money.received + money.written_off,
        _("On account") if money.on_account and money.due else _("Money settled"),
        _("Money is still open"),
        _("Note the payment"),
        _ledger(known),
    )


def _settled_unfinished(known: Known) -> Condition | None:
    """Asked as a build ends unfinished: what came has gone back, but for what the shop keeps.

    Where an invoice was issued, it says what is owed; else nothing but a deposit may stay.
    """
    money = known.money
    if not money.is_of_money or known.others_stay:
        return None
    stays = money.deposit_asked if known.keeps_deposit else 0
    is_even = money.balance == 0 if money.invoiced is not None else money.received <= stays
    no = _("Money is still open") if money.due and money.invoiced else _("Money is to go back")
    return _condition(
        "settled", is_even, _("Money settled"), no, _("Open the ledger"), _ledger(known)
    )


def _ledger(known: Known) -> str:
    return f"/orders/{known.build.item.order.number}/#money"


def _reconfirmed(known: Known) -> Condition | None:
    if known.build.kind not in {Kind.FULL, Kind.UPGRADE}:
        return None
    return _answered(
        known,
        AnswerKind.RECONFIRMED,
        _("Still wanted, same options"),
        _("Ask again before work starts: still wanted, same options?"),
        _("Record the answer"),
    )


def _answered(known: Known, kind: AnswerKind, yes: str, no: str, deed: str) -> Condition:
    answer = known.answers.get((known.build.item_id, kind))
    if answer and not answer.is_yes:
        # Not in the customer's words: they may name a price, which the bench does not see.
        no = _("The customer said no")
    return _condition(kind, bool(answer and answer.is_yes), yes, no, deed, "#answers")


def _views(known: Known) -> Condition | None:
    wanted = known.views.get(known.build.state, [])
    if known.build.hilt is None or not wanted:
        return None
    missing = [
        view.label
        for view in wanted
        if view.pk not in known.intake.view_ids and _applies(view, known.build)
    ]
    count = len(missing)
    return _condition(
        "views",
        not missing,
        _("All views taken"),
        ngettext("%(n)d view to take: %(which)s", "%(n)d views to take: %(which)s", count)
        % {"n": count, "which": ", ".join(missing)},
        ngettext("Take %(n)d view", "Take %(n)d views", count) % {"n": count},
        "#photos",
    )


def _applies(view: View, build: Build) -> bool:
    # What is collected in person has no packed box to show.
    return view.code != PACKED_VIEW or build.leaves_by == Leaves.POST


def _belongings(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return _condition(
        "belongings",
        known.intake.belongings_noted,
        _("Belongings noted"),
        _("What else was in the box?"),
        _("Note belongings"),
        "#belongings",
    )


def _condition_noted(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return _condition(
        "condition",
        bool(known.intake.notes),
        _("Condition noted"),
        _("Condition not noted"),
        _("Note the condition"),
        "#condition",
    )


def _cell(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    cell, back = known.intake.cell, known.back_since
    no = _("Cell not checked: is one inside?")
    if cell and back:
        no = _("It came back with parts inside: take the cell out and look at it again.")
    return _condition(
        "cell",
        cell is not None and (back is None or cell.at >= back),
        _("Cell checked"),
        no,
        _("Check the cell"),
        "#cell",
        never_pass=True,
    )


_CELL_STAYS = {
    CellResult.ASIDE: gettext_lazy(
        "The cell was set aside as damaged. Check the one that goes along."
    ),
    CellResult.REWRAP: gettext_lazy(
        "The cell's wrap is torn. Check the cell that goes along, or this one in its new wrap."
    ),
    "drained": gettext_lazy(
        "The cell is over-discharged. Set it aside, and check the one that goes along."
    ),
}


def _cell_aside(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    why = known.intake.why_cell_stays
    return _condition(
        "cell-aside",
        not why,
        _("No damaged cell goes along"),
        str(_CELL_STAYS.get(why, _CELL_STAYS[CellResult.ASIDE])),
        _("Check the cell"),
        "#cell",
        never_pass=True,
    )


def _stands(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return _condition(
        "stands",
        bool(known.build.tray or known.build.place),
        _("Tray or place given"),
        _("No tray or place yet"),
        _("Give it a tray"),
        "#stands",
        never_pass=True,  # the database holds it too
    )


def _accounted(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    open_ones = known.intake.unaccounted
    return _condition(
        "accounted",
        not open_ones,
        _("Belongings accounted for"),
        _("Back in the box? %s") % ", ".join(open_ones),
        _("Tick belongings"),
        "#belongings",
    )


def _parcel(known: Known) -> Condition | None:
    if known.build.leaves_by != Leaves.POST:
        return None
    return _condition(
        "parcel",
        known.parcel is not None,
        _("In a parcel"),
        _("Not in a parcel yet"),
        _("Close the parcel"),
        "#gate",
        never_pass=True,
    )


STARTING: dict[str, tuple[Question, ...]] = {
    State.TEARDOWN: (_cell, _reconfirmed),
}
LEAVING: dict[str, tuple[Question, ...]] = {
    State.BOOKED: (_arrived, _agreed, _deposit),
    State.INTAKE: (_arrived, _views, _belongings, _condition_noted, _cell, _stands),
    State.INSTALL: (_views,),
    State.DISPATCH: (_views, _accounted, _settled, _cell_aside, _parcel),
}
# What ends unfinished still gives back what came, and a damaged cell leaves by no way.
ENDING: tuple[Question, ...] = (_accounted, _settled_unfinished, _cell_aside)
