"""The packing list: the lines that a parcel asks for, with cautions where the hand is. Pure."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.dispatch.states import Stowage, Terminals


@dataclass(frozen=True)
class Contained:
    """One build in a parcel, as the list sees it."""

    build: int
    has_hilt: bool
    stowage: str = ""
    terminals: str = ""
    charge_percent: int | None = None

    @property
    def has_cell(self) -> bool:
        """Whether a cell goes along, or nobody has said that none does."""
        return self.has_hilt and self.stowage != Stowage.LEFT_OUT

    @property
    def is_without(self) -> bool:
        """Whether somebody said that it leaves without a cell."""
        return self.has_hilt and self.stowage == Stowage.LEFT_OUT

    @property
    def ends_safe(self) -> bool:
        """Whether somebody said where its cell is and how the ends are safe from a short."""
        return not self.has_cell or bool(self.stowage and self.terminals)


@dataclass(frozen=True)
class Line:
    """One line to tick; of a build where ``build`` names one, else of the whole parcel."""

    code: str
    words: str
    caution: str = ""
    build: int | None = None

    @property
    def key(self) -> tuple[str, int | None]:
        """What tells it from every other line of its parcel."""
        return self.code, self.build


@dataclass(frozen=True)
class _Kind:
    code: str
    words: Any
    caution: Any
    asks: Callable[[Contained], bool]


# In the order of the hands: what is done to a hilt before it goes into the box. Common practice,
# no source.
_OF_A_BUILD = (
    _Kind(
        "blade-out",
        gettext_lazy("Blade out: none sits in the hilt"),
        gettext_lazy("Undo its screw first; a blade left in bends the socket when the box drops."),
        lambda one: one.has_hilt,
    ),
    _Kind(
        "switched-off",
        gettext_lazy("Kill switch off, or the cell isolated"),
        gettext_lazy("Press its switch once more: it must stay dark. Lit in a box, it heats."),
        lambda one: one.has_cell,
    ),
    _Kind(
        "cell-out",
        gettext_lazy("Cell out: none in the hilt, none beside it"),
        gettext_lazy("Open it and look; what is taken out stays in the shop, its ends covered."),
        lambda one: one.is_without,
    ),
    _Kind(
        "caps",
        gettext_lazy("Caps on: emitter and pommel"),
        "",
        lambda one: one.has_hilt,
    ),
)  # fmt: skip
_OF_THE_PARCEL = (
    ("padded", gettext_lazy("Padded: nothing moves when the box is shaken"),
     gettext_lazy("Nothing loose beside a cell: a screw or a key can join its ends.")),
    ("slip", gettext_lazy("Packing slip in the box"), ""),
)  # fmt: skip


def lines(inside: Sequence[Contained], goods: Sequence[tuple[int, str]] = ()) -> list[Line]:
    """The lines of a parcel, in the order in which a pair of hands comes to them.

    :param goods: id and words of what lies beside the builds.
    """
    return [line for one in inside for line in _of_build(one)] + list(_of_parcel(goods))


def _of_build(one: Contained) -> Iterator[Line]:
    for kind in _OF_A_BUILD:
        if kind.asks(one):
            yield Line(kind.code, str(kind.words), str(kind.caution), one.build)


def _of_parcel(goods: Sequence[tuple[int, str]]) -> Iterator[Line]:
    for pk, words in goods:
        yield Line(f"goods-{pk}", _("In the box: %s") % words)
    for code, said, caution in _OF_THE_PARCEL:
        yield Line(code, str(said), str(caution))


def cell_words(one: Contained) -> str:
    """Where a cell is on the way and how its ends are safe, in words."""
    if not one.has_cell:
        return _("Cell out: it leaves without one")
    if not one.stowage:
        return _("Cell in or out, and how are its ends safe?")
    where = str(Stowage(one.stowage).label)
    if not one.terminals:
        return _("Cell %(where)s: how are its ends safe?") % {"where": where}
    ends = str(Terminals(one.terminals).label)
    return _("Cell %(where)s: %(ends)s") % {"where": where, "ends": ends}
