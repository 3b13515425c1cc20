"""The core of a build: its cell, its board, its amplifier and speaker."""

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from builds.engineering import speaker
from builds.engineering.power import Cell, Load, Rating
from builds.fitting.loads.values import PRACTICE, Chosen, Drawn, Given, Lack, Wants
from shop.stores.kinds import PartKind

FULL_MV = 4200.0
USABLE, SELF_DISCHARGE = 0.8, 0.02
EFFICIENCY = 0.9  # of a class-D amplifier: common practice, no source
MUSIC = 1 / 8  # mean over full sine power of loud sound: common practice, no source


@dataclass(frozen=True)
class Cored:
    """The cell as the sums take it, with what it follows from."""

    cell: Cell
    capacity: Given
    limit: Given
    nominal: Given
    full: Given
    usable: Given
    self_discharge: Given


def core(wants: Wants) -> tuple[Cored | None, list[Lack]]:
    """The cell of a build, None where it cannot be reckoned with, and what is missing."""
    part = wants.first(PartKind.CELL)
    if part is None:
        return None, [Lack("no-cell", blocks=True)]
    capacity, limit = part.given("capacity_mah"), part.given("max_current_ma")
    nominal = part.given("nominal_mv")
    if capacity is None or limit is None or nominal is None:
        return None, [Lack("cell-without-figures", part.name, True, part.stores)]
    full = part.given("full_mv") or Given(
        _("voltage when full"), max(FULL_MV, nominal.value), "mV", PRACTICE, True
    )
    try:
        cell = _cell(part, capacity, limit, nominal, full)
    except ValueError:
        return None, [Lack("impossible-cell", part.name, True, part.stores)]
    share = Given(_("share of it that a hilt gets out"), USABLE * 100, "%", PRACTICE, True)
    lost = Given(
        _("lost a month by itself"),
        SELF_DISCHARGE * 100,
        "%",
        _("Battery University, self-discharge"),
        True,
    )
    return Cored(cell, capacity, limit, nominal, full, share, lost), []


def _cell(part: Chosen, capacity: Given, limit: Given, nominal: Given, full: Given) -> Cell:
    return Cell(
        part.name,
        capacity.value,
        Rating(part.name, limit.value / 1000, limit.source),
        nominal.value / 1000,
        full.value / 1000,
        USABLE,
        SELF_DISCHARGE,
    )


def cells_of(wants: Wants) -> int:
    """How many cells are on the list: nobody has said whether in series or side by side."""
    return sum(part.quantity for part in wants.of(PartKind.CELL))


def board(wants: Wants) -> tuple[Drawn | None, list[Lack]]:
    """What the board takes for itself, working and asleep."""
    part = wants.first(PartKind.BOARD)
    if part is None:
        return None, [Lack("no-board")]
    working, asleep = part.given("working_ma"), part.given("sleep_ma") or part.given("idle_ma")
    lacks = []
    if working is None:
        lacks.append(Lack("board-without-working", part.name, False, part.stores))
    if asleep is None:
        lacks.append(Lack("board-without-idle", part.name, False, part.stores))
    own, idle = (working.value if working else 0.0), (asleep.value if asleep else 0.0)
    load = Load(part.name, max(own, idle) / 1000, max(own, idle) / 1000, idle / 1000)
    inputs = tuple(given for given in (working, asleep) if given is not None)
    return Drawn(load, "board", "board", inputs), lacks


@dataclass(frozen=True)
class Sounding:
    """The speaker at the loudest, beside what it bears."""

    part: Chosen
    ohm: Given
    most_w: float
    worst_a: float
    rating: Given | None
    board_limit: Given | None

    @property
    def is_over(self) -> bool:
        """Whether the amplifier can give it more than it bears."""
        return self.rating is not None and self.most_w * 1000 > self.rating.value * (1 + 1e-9)


def sounding(wants: Wants, cored: Cored | None) -> tuple[Sounding | None, list[Lack]]:
    """The speaker of a build on a full cell, None where it has none."""
    part = wants.first(PartKind.SPEAKER)
    if part is None or cored is None:
        return None, []
    ohm = part.given("ohm")
    if ohm is None:
        return None, [Lack("speaker-without-ohm", part.name, False, part.stores)]
    most = speaker.sine_limit_w(cored.cell.full_v, ohm.value)
    driver = wants.first(PartKind.BOARD)
    limit = driver.given("speaker_mw") if driver else None
    if limit is not None:
        most = min(most, limit.value / 1000)
    worst = speaker.supply_current_a(most, EFFICIENCY, cored.cell.nominal_v)
    return Sounding(part, ohm, most, worst, part.given("power_mw"), limit), []


def amplifier(found: Sounding) -> Drawn:
    """What the amplifier takes from the cell for the speaker."""
    load = Load(found.part.name, found.worst_a, found.worst_a * MUSIC)
    given = (
        found.ohm,
        Given(
            _("power to it at most"),
            found.most_w,
            "W",
            _("V² / 2R at a full cell, or what the board gives if that is less"),
        ),
        Given(_("the amplifier's efficiency"), EFFICIENCY * 100, "%", PRACTICE, True),
        Given(_("mean of loud sound, of that"), MUSIC * 100, "%", PRACTICE, True),
    )
    return Drawn(load, "speaker", "speaker", given)
