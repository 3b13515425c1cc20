"""Findings → sentences, each with its number; the first says it, the second what follows."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.engineering.findings import Finding
from builds.engineering.fit.blades import PLAY_MM
from builds.fitting.drawing.reading import least_shown, over_shown, room_shown, shown, with_unit
from builds.fitting.drawing.words import basis_words
from shop.stores.kinds import PartKind
from shop.web.figures import pointed

Figures = Mapping[str, float | str]


@dataclass(frozen=True)
class Said:
    """A finding in words. ``sum`` is the name of the sum that it rests on."""

    level: str
    code: str
    head: str
    rest: str = ""
    sum: str = ""


def sentence(finding: Finding) -> Said:
    """A finding in words."""
    head, rest = _WORDS[finding.code](finding.about, finding.figures)
    return Said(finding.level, finding.code, head, rest, _sum_of(finding))


def _sum_of(finding: Finding) -> str:
    cut = finding.figures.get("cut")
    if cut:
        return f"sum-{cut}"
    if finding.code == "clocked":
        return f"sum-clock-{finding.figures['joint']:g}"
    return "sum-blade" if finding.code.startswith("blade") else "sum-stack"


def _mm(figures: Figures, name: str) -> str:
    """A plain size, to two places."""
    return with_unit(shown(float(figures[name])))


def _plain(mm: float) -> str:
    return with_unit(shown(mm))


def _room(figures: Figures, name: str = "clearance_mm") -> str:
    """A clearance without its sign, rounded so that what does not fit never reads as 0."""
    return with_unit(over_shown(float(figures[name])))


def _least(figures: Figures) -> str:
    return with_unit(least_shown(float(figures["least_bore_mm"])))


def kind(code: object) -> str:
    """A kind of part by its code; nothing where there is none."""
    return str(PartKind(str(code)).label) if code else ""


def together(figures: Figures) -> str:
    """What lies in the bore, as a sentence begins with it."""
    what, on = kind(figures["what"]), kind(figures.get("on", ""))
    if not on:
        return what
    if figures.get("how") == "bundle":
        return _("%(what)s beside %(on)s") % {"what": what, "on": on}
    return _("%(what)s over %(on)s") % {"what": what, "on": on}


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _bore_too_small(about: str, figures: Figures) -> tuple[str, str]:
    head = _("%(what)s is %(mm)s too much for the %(section)s.")
    said = {"what": _upper(together(figures)), "mm": _room(figures), "section": about}
    rest = _("The least bore for this is %(least)s; the %(section)s has %(bore)s.")
    return head % said, rest % {
        "least": _least(figures), "section": about, "bore": _mm(figures, "bore_mm"),
    }  # fmt: skip


def _reaches(about: str, figures: Figures) -> tuple[str, str]:
    head = _("%(what)s reaches into the %(section)s, which is %(mm)s too narrow for it.")
    said = {"what": _upper(together(figures)), "mm": _room(figures), "section": about}
    rest = _("The least bore for this is %(least)s. A shorter part, or another place, helps.")
    return head % said, rest % {"least": _least(figures)}


def _may_be_too_small(about: str, figures: Figures) -> tuple[str, str]:
    head = _(
        "%(what)s goes into the %(section)s with %(mm)s to spare, less than the bore may be off."
    )
    said = {"what": _upper(together(figures)), "mm": _room(figures), "section": about}
    rest = _("The bore is measured to ± %(tolerance)s. Try the real parts in it before you go on.")
    return head % said, rest % {"tolerance": _mm(figures, "tolerance_mm")}


def _tight(about: str, figures: Figures) -> tuple[str, str]:
    head = _("%(what)s has %(mm)s of room in the %(section)s.")
    said = {"what": _upper(together(figures)), "mm": _room(figures), "section": about}
    rest = _("Printed parts want %(wanted)s on the diameter (common practice, no source).")
    return head % said, rest % {"wanted": _mm(figures, "wanted_mm")}


def _not_measured(about: str, figures: Figures) -> tuple[str, str]:
    head = _("The bore of the %(section)s is %(basis)s, not measured.")
    known = basis_words(str(figures["basis"]))
    rest = _("What fits in it on paper has %(mm)s of room. Measure before you cut anything.")
    return head % {"section": about, "basis": known}, rest % {"mm": _room(figures)}


def _bay(about: str, figures: Figures) -> tuple[str, str]:
    head = _("%(what)s does not go into the cell bay of the chassis: %(cell)s into %(bay)s.")
    return head % {
        "what": _upper(kind(figures["what"])), "cell": _mm(figures, "cell_mm"),
        "bay": _mm(figures, "bay_mm"),
    }, ""  # fmt: skip


def _wall_part(about: str, figures: Figures) -> tuple[str, str]:
    head = _("%(what)s reaches %(mm)s too far into the %(section)s: there is %(on)s below it.")
    said = {"what": _upper(kind(figures["what"])), "mm": _mm(figures, "over_mm")}
    rest = _("Put one behind the other, or turn the part beside it.")
    return head % {**said, "section": about, "on": kind(figures["on"])}, rest


def _clocked(about: str, figures: Figures) -> tuple[str, str]:
    if figures["what"]:
        head = _("The switch hole of the %(section)s sits %(angle)s° past its place when tight.")
    else:
        head = _("The %(section)s sits %(angle)s° past its place when tight.")
    rest = _("A %(shim)s shim on the %(thread)s brings it home.") % {
        "shim": _mm(figures, "shim_mm").replace("\u202f", "\u00a0"),
        "thread": thread_words(float(figures["pitch_mm"])),
    }
    return head % {"section": about, "angle": pointed(f"{float(figures['angle_deg']):g}")}, rest


def thread_words(pitch_mm: float) -> str:
    """A thread by its pitch: in threads an inch where that is a whole number."""
    per_inch = 25.4 / pitch_mm
    if abs(per_inch - round(per_inch)) < 0.02 and abs(pitch_mm * 100 - round(pitch_mm * 100)) > -1:
        metric = abs(pitch_mm / 0.25 - round(pitch_mm / 0.25)) < 1e-6
        if not metric:
            return _("%(n)d-per-inch thread") % {"n": round(per_inch)}
    return _("thread of %(pitch)s pitch") % {"pitch": _plain(pitch_mm).replace("\u202f", "\u00a0")}


def _blade(head: str, rest: str = "") -> Callable[[str, Figures], tuple[str, str]]:
    def words(about: str, figures: Figures) -> tuple[str, str]:
        told = {"blade": about, **{name: _plain(float(each)) for name, each in figures.items()}}
        if "play_mm" in figures:
            told["over"] = with_unit(over_shown(float(figures["play_mm"])))
            told |= {"from": shown(PLAY_MM[0]), "to": _plain(PLAY_MM[1])}
        return str(_(head)) % told, str(_(rest)) % told if rest else ""

    return words


def _stack(head: str) -> Callable[[str, Figures], tuple[str, str]]:
    def words(about: str, figures: Figures) -> tuple[str, str]:
        told = {name: with_unit(over_shown(float(each))) for name, each in figures.items()}
        rest = _("Slack %(slack)s; in the worst case %(worst)s, by root sum of squares %(rss)s.")
        signed = {name: with_unit(room_shown(float(each))) for name, each in figures.items()}
        return str(_(head)) % told, rest % {
            "slack": signed["slack_mm"], "worst": signed["worst_mm"], "rss": signed["rss_mm"],
        }  # fmt: skip

    return words


def N_(text: str) -> str:  # the name by which texts are found and translated later
    """A text to be translated where it is shown."""
    return text


_WORDS: dict[str, Callable[[str, Figures], tuple[str, str]]] = {
    "bore-too-small": _bore_too_small,
    "reaches-too-narrow": _reaches,
    "bore-may-be-too-small": _may_be_too_small,
    "part-tight": _tight,
    "bore-not-measured": _not_measured,
    "bay-too-small": _bay,
    "wall-part-meets": _wall_part,
    "clocked": _clocked,
    "blade-too-wide": _blade(
        N_("%(blade)s is %(over)s too wide for its socket."),
        N_("Blade %(blade_mm)s, socket %(socket_bore_mm)s."),
    ),
    "blade-tight": _blade(
        N_("%(blade)s has only %(play_mm)s of play in its socket."),
        N_("%(from)s to %(to)s is common practice, no source. Try a stub tube."),
    ),
    "blade-loose": _blade(
        N_("%(blade)s has %(play_mm)s of play in its socket."),
        N_("%(from)s to %(to)s is common practice, no source: it will rattle."),
    ),
    "blade-too-shallow": _blade(
        N_("%(blade)s sits only %(depth_mm)s deep."),
        N_("At least %(least_depth_mm)s is common practice, no source."),
    ),
    "blade-shallow": _blade(
        N_("%(blade)s sits %(depth_mm)s deep, less than the usual %(usual_depth_mm)s."),
        N_("Try it with a stub tube before the connector is fixed."),
    ),
    "too-long": _stack(N_("The parts are %(slack_mm)s longer than the room in the hilt.")),
    "likely-too-long": _stack(N_("The parts are likely too long, by up to %(rss_mm)s.")),
    "worst-too-long": _stack(N_("In the worst case the parts are %(worst_mm)s too long.")),
}
CODES = frozenset(_WORDS)
