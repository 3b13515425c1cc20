"""How each number of the fit is worked out: formula, inputs with how they are known, source."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.engineering.fit import Stack
from builds.engineering.fit.blades import LEAST_DEPTH_MM, PLAY_MM, USUAL_DEPTH_MM
from builds.fitting.drawing.reading import least_shown, room_shown, shown, with_unit
from builds.fitting.drawing.words import basis_words, kind_of
from builds.fitting.layout import Blade, Cut, Layout, Size, Turn
from shop.web.figures import pointed


@dataclass(frozen=True)
class Input:
    """A number that goes into a sum; a guess is shown as one."""

    label: str
    value: str
    known: str = ""
    is_sure: bool = True


@dataclass(frozen=True)
class Sum:
    """One sum, as it opens under its number."""

    name: str
    title: str
    result: str
    formula: str
    inputs: tuple[Input, ...]
    source: str


def sums(layout: Layout) -> list[Sum]:
    """Every sum of a layout: across each bore, the blade, along the hilt, the threads."""
    found = [_across(cut) for cut in layout.shown_cuts]
    if layout.blade:
        found.append(_blade(layout.blade))
    if layout.slack:
        found.append(_stack(layout, layout.slack))
    return found + [_clock(turn) for turn in layout.turns]


def _mm(value: float) -> str:
    return with_unit(shown(value))


def _left(value: float) -> str:
    return with_unit(room_shown(value))


def _known(size: Size) -> str:
    return size.said or basis_words(size.basis) or _("measured")


def _size(label: str, size: Size) -> Input:
    spread = f" ± {shown(size.tolerance)}" if size.tolerance else ""
    return Input(label, with_unit(f"{shown(size.mm)}{spread}"), _known(size), size.is_sure)


def _across(cut: Cut) -> Sum:
    formula, source = _across_formula(cut)
    result = _("least bore %(least)s, clearance %(room)s") % {
        "least": with_unit(least_shown(cut.combo.least_mm)),
        "room": with_unit(room_shown(cut.clearance_mm)),
    }
    title = _("%(letter)s: least bore and clearance in the %(section)s") % {
        "letter": cut.letter,
        "section": cut.tube.name,
    }
    inputs = (*_part_inputs(cut), _size(_("bore"), cut.tube.bore))
    return Sum(f"sum-{cut.letter}", title, result, formula, inputs, source)


def _across_formula(cut: Cut) -> tuple[str, str]:
    end = _("clearance = bore − D, on the diameter, rounded down; D rounded up")
    geometry = _("Plane geometry: the smallest circle round all of them.")
    if cut.combo.how == "round":
        return f"D = d · {end}", _("The part's own diameter.")
    if cut.combo.how == "bundle":
        many = len(cut.combo.circles) > 2
        return f"D = d·(1 + 1/sin(π/n)) · {end}" if many else f"D = d₁ + d₂ · {end}", geometry
    return _("D = a + w²/4a with a = d + h; where w² > 4ad, D = √(w² + h²)") + f" · {end}", geometry


def _part_inputs(cut: Cut) -> list[Input]:
    found = []
    for item in cut.combo.items:
        known, sure = (_("typical"), False) if item.is_typical else (_("as stated for it"), True)
        name = f"{kind_of(item)}, {item.name}"
        if item.diameter_mm:
            found.append(Input(f"d, {name}", _mm(item.diameter_mm), known, sure))
        else:
            wide, high = _mm(item.width_mm or 0), _mm(item.height_mm or 0)
            found.append(Input(f"w × h, {name}", f"{wide} × {high}", known, sure))
    return found


def _blade(blade: Blade) -> Sum:
    play = blade.socket_bore.mm - (blade.item.diameter_mm or 0.0)
    return Sum(
        "sum-blade",
        _("The blade in its socket"),
        _("play %(play)s, engaged %(depth)s") % {"play": _left(play), "depth": _mm(blade.depth.mm)},
        _(
            "play = socket − blade; good are %(from)s to %(to)s; engaged at least %(least)s,"
            " usual %(usual)s"
        )
        % {
            "from": shown(PLAY_MM[0]),
            "to": _mm(PLAY_MM[1]),
            "least": _mm(LEAST_DEPTH_MM),
            "usual": _mm(USUAL_DEPTH_MM),
        },
        (
            _size(_("socket's bore"), blade.socket_bore),
            _size(_("socket's depth"), blade.depth),
            Input(_("blade"), _mm(blade.item.diameter_mm or 0.0), _("as stated for it")),
        ),
        _("Play and least depth are common practice, no source; an inch is what makers state."),
    )


def _stack(layout: Layout, slack: Stack) -> Sum:
    inputs = [_size(tube.name, tube.length) for tube in layout.tubes]
    if layout.blade:
        inputs.append(_size(_("less the blade"), layout.blade.depth))
    for thing in layout.things:
        if thing.role == "base":
            known = _("typical") if thing.item.is_typical else _("as stated for it")
            less = _("less %(part)s") % {"part": thing.item.name}
            inputs.append(Input(less, _mm(thing.x1 - thing.x0), known, not thing.item.is_typical))
    result = _("slack %(slack)s; worst case %(low)s to %(high)s; RSS %(rlow)s to %(rhigh)s") % {
        "slack": _left(slack.nominal),
        "low": _left(slack.worst_low), "high": _left(slack.worst_high),
        "rlow": _left(slack.rss_low), "rhigh": _left(slack.rss_high),
    }  # fmt: skip
    if slack.worst_low == slack.nominal:
        result = _("slack %(slack)s; no tolerances are told") % {"slack": _left(slack.nominal)}
    formula = _("slack = Σ sections − blade − Σ parts; worst case Σt, RSS √Σt²")
    source = _("Tolerance stack-up, worst case and root sum of squares.")
    return Sum("sum-stack", _("Stack-up along the hilt"), result, formula, tuple(inputs), source)


def _clock(turn: Turn) -> Sum:
    pitch = turn.tube.given.pitch
    clock = turn.tube.given.clock
    if pitch is None or clock is None:
        raise TypeError("a turn is made of a pitch and a clock position")
    past = pointed(f"{turn.angle_deg:g}°")
    degrees = Input(_("past its place when tight"), past, _known(clock), clock.is_sure)
    return Sum(
        f"sum-clock-{turn.tube.given.key}",
        _("Clocking of the %(section)s") % {"section": turn.behind},
        _("shim %(shim)s") % {"shim": _mm(turn.shim_mm)},
        _("shim = pitch × angle / 360"),
        (_size(_("pitch"), pitch), degrees),
        _("The definition of pitch: a turn moves a thread by one pitch, a shim stops it earlier."),
    )
