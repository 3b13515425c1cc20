"""Values that may well be a slip: asked about, never refused."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from builds.hilts.states import MeasuredThing
from shop.stores.units import shown

# Beyond these a unit or a section was probably mistaken. Common practice, no source.
LARGEST_BORE_MM = 60.0
LARGEST_OUTER_MM = 90.0
LONGEST_MM = 400.0
SMALLEST_MM = 5.0
OVAL_MM = 0.5
FAR_MM = 3.0  # from what was known so far
_ACROSS = {MeasuredThing.BORE, MeasuredThing.OUTER, MeasuredThing.SOCKET_BORE}
_LARGEST = {
    MeasuredThing.BORE: LARGEST_BORE_MM,
    MeasuredThing.SOCKET_BORE: LARGEST_BORE_MM,
    MeasuredThing.OUTER: LARGEST_OUTER_MM,
    MeasuredThing.LENGTH: LONGEST_MM,
}


def doubts(
    typed: Mapping[str, tuple[float, float | None]], known: Mapping[str, float], unit: str
) -> dict[str, str]:
    """What to ask about the readings of a section: a thing's name → a question.

    :param typed: thing → first and second reading in mm.
    :param known: thing → what counts so far, in mm.
    """
    asked = {thing: _size(thing, value, unit) for thing, (value, _second) in typed.items()}
    for thing, (value, second) in typed.items():
        asked[thing] = asked[thing] or _oval(value, second, unit) or _far(thing, value, known, unit)
    if wide := _wider(typed, known, unit):
        asked[MeasuredThing.BORE if MeasuredThing.BORE in typed else MeasuredThing.OUTER] = wide
    return {thing: question for thing, question in asked.items() if question}


def _size(thing: str, value: float, unit: str) -> str:
    largest = _LARGEST.get(MeasuredThing(thing))
    if largest and value > largest:
        return _("%(value)s is more than usual. Is the unit right?") % {"value": shown(value, unit)}
    if thing in _ACROSS and value < SMALLEST_MM:
        return _("%(value)s is very small. Was it inches?") % {"value": shown(value, unit)}
    return ""


def _oval(value: float, second: float | None, unit: str) -> str:
    if second is None or abs(value - second) <= OVAL_MM:
        return ""
    apart = shown(abs(value - second), unit)
    return _("The two readings are %(apart)s apart. Is it oval, or on a step?") % {"apart": apart}


def _far(thing: str, value: float, known: Mapping[str, float], unit: str) -> str:
    if thing not in _ACROSS or thing not in known or abs(value - known[thing]) <= FAR_MM:
        return ""
    return _("So far it was %(known)s. Is it the same section?") % {
        "known": shown(known[thing], unit)
    }


def _wider(
    typed: Mapping[str, tuple[float, float | None]], known: Mapping[str, float], unit: str
) -> str:
    """A bore that is wider than the outside, either of them typed now."""
    if not {MeasuredThing.BORE, MeasuredThing.OUTER} & typed.keys():
        return ""
    now = {**known, **{thing: value for thing, (value, _second) in typed.items()}}
    bore, outer = now.get(MeasuredThing.BORE), now.get(MeasuredThing.OUTER)
    if bore is None or outer is None or bore < outer:
        return ""
    return _("A bore of %(bore)s leaves no wall in %(outer)s. Are they swapped?") % {
        "bore": shown(bore, unit),
        "outer": shown(outer, unit),
    }
