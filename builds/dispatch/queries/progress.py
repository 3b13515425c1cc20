"""How far a parcel has come: contents, box, cells, class, list, and what to do next."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.dispatch.models import Parcel
from builds.dispatch.queries.classing import Classing
from builds.dispatch.queries.customs import Customs
from builds.dispatch.queries.going import Due
from builds.dispatch.queries.listed import PackingList
from builds.dispatch.states import Class

DONE, OPEN, STOP = "met", "open", "stop"


@dataclass(frozen=True)
class Step:
    """One stretch of packing a parcel: how it stands, and what its button says."""

    code: str
    label: str
    state: str
    words: str
    deed: str = ""
    stays_open: bool = False  # a parcel may leave without it

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do for it."""
        return self.state == DONE


@dataclass(frozen=True)
class Progress:
    """The stretches in the order of the work."""

    steps: Sequence[Step]

    @property
    def next(self) -> Step | None:
        """The first stretch that a parcel may not leave without, and that is not done."""
        return next((one for one in self.steps if not one.is_done and not one.stays_open), None)


def progress(
    parcel: Parcel,
    builds: int,
    listed: PackingList,
    customs: Customs | None,
    dues: Sequence[Due],
    classing: Classing | None,
) -> Progress:
    """How far a parcel has come; what was said of its class as it left is kept elsewhere."""
    classed = [_class(classing)] if classing else []
    packed = [_contents(builds), _box(parcel), _cells(listed), *classed, _list(listed)]
    papers = [_customs(customs)] if customs else []
    return Progress([*packed, *papers, *([_money(dues)] if dues else [])])


def _customs(customs: Customs) -> Step:
    if customs.is_told:
        return Step("customs", _("Customs"), DONE, _("told"))
    words = ", ".join(customs.lacks[:2]) + (" …" if len(customs.lacks) > 2 else "")
    return Step("customs", _("Customs"), OPEN, words, _("Say what the customs ask"))


def _money(dues: Sequence[Due]) -> Step:
    # No sum: the bench reads it too. The owner may have let it by: it asks, and does not stop.
    is_open = any(due.going.due and not due.going.may_follow for due in dues)
    words = _("still open") if is_open else _("settled")
    return Step("money", _("Money"), OPEN if is_open else DONE, words, stays_open=True)


def _contents(builds: int) -> Step:
    words = ngettext("%d build", "%d builds", builds) % builds
    return Step("contents", _("In it"), DONE if builds else OPEN, words, _("Say what is in it"))


def _box(parcel: Parcel) -> Step:
    sized = parcel.box_id or (parcel.length_mm and parcel.width_mm and parcel.height_mm)
    if not sized:
        return Step("box", _("Box"), OPEN, _("not chosen"), _("Choose the box"), stays_open=True)
    if not parcel.gross_g:
        return Step("box", _("Box"), OPEN, _("not weighed"), _("Weigh it"), stays_open=True)
    return Step("box", _("Box"), DONE, _("chosen, weighed"))


def _cells(listed: PackingList) -> Step:
    if not listed.unsafe:
        return Step("cells", _("Cells"), DONE, _("ends safe"))
    words = _("%s: not said yet") % listed.unsafe[0]
    return Step("cells", _("Cells"), OPEN, words, _("Say where the cells are, and how safe"))


def _class(classing: Classing) -> Step:
    if classing.may_go:
        return Step("class", _("Class"), DONE, _("may go"))
    if classing.state == Class.REFUSED:
        return Step("class", _("Class"), STOP, _("refused"), _("See what would make it allowed"))
    if classing.lacks and any(not thing.is_answered for thing in classing.contents.things):
        return Step("class", _("Class"), OPEN, _("not yet"), _("Say how the cells travel"))
    return Step("class", _("Class"), OPEN, _("not yet"), _("See what is missing"))


def _list(listed: PackingList) -> Step:
    left = listed.open_count
    if not left:
        return Step("list", _("List"), DONE, _("all ticked"))
    words = _("%(done)d of %(all)d") % {"done": listed.done_count, "all": listed.all_count}
    deed = ngettext("Tick the list: %d line left", "Tick the list: %d lines left", left) % left
    return Step("list", _("List"), OPEN, words, deed)
