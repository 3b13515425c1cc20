"""What its owner is told, and the card: described out of install, tried on the unit out of test."""

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.gates.known import Condition, Known, condition
from builds.gates.reckoned import KINDS
from builds.handover.queries.gestures import is_tried
from builds.progress.queries import still_so
from builds.progress.states import Kind

_NAMED = 3  # lines named in a line of conditions


def gestures(known: Known) -> Condition | None:
    """How it is worked is described, where there is a board or a switch to work."""
    if known.build.kind not in KINDS or not known.parts.has_switch:
        return None
    count = len(known.gestures)
    return condition(
        "gestures",
        count > 0,
        ngettext("%(n)d gesture described", "%(n)d gestures described", count) % {"n": count},
        _("No gesture described yet"),
        _("Describe the gestures"),
        _page(known),
    )


def gestures_tried(known: Known) -> Condition | None:
    """Every line was tried on this hilt since it was last taken apart."""
    if not known.gestures:
        return gestures(known)
    names = [line.wanted for line in known.gestures if not is_tried(line, known.back_since)]
    count = len(names)
    words = ngettext("%(n)d gesture to try: %(which)s", "%(n)d gestures to try: %(which)s", count)
    return condition(
        "gestures",
        not names,
        _("Every gesture tried on the hilt"),
        words % {"n": count, "which": _few(names)},
        _("Try them on the hilt"),
        _page(known),
    )


def slots_verified(known: Known) -> Condition | None:
    """Every slot was seen and heard on this hilt since it was last taken apart."""
    if not known.slots:
        return None
    names = [slot.name for slot in known.slots if not still_so(slot.verified_at, known.back_since)]
    count = len(names)
    words = ngettext(
        "%(n)d slot to see and hear: %(which)s", "%(n)d slots to see and hear: %(which)s", count
    )
    return condition(
        "slots-verified",
        not names,
        _("Every slot seen and heard on the hilt"),
        words % {"n": count, "which": _few(names)},
        _("See and hear them"),
        reverse("sounds_slots", args=[known.build.number]),
    )


def blade_tried(known: Known) -> Condition | None:
    """A blade that is worked on alone was tried in a hilt: it seats, and it holds.

    Nobody has the hilt of every blade at hand: the owner may pass it with a reason.
    """
    blade = known.build.blade
    if known.build.kind != Kind.BLADE:
        return None
    no = _("Not tried in a hilt yet: does it seat, does it hold?")
    return condition(
        "blade-tried",
        blade is not None and blade.tried_in_id is not None,
        _("Tried in a hilt"),
        no if blade else _("Which blade is it? It is not written down"),
        _("Say in which hilt") if blade else _("Write it down"),
        reverse("desk_blade", args=[blade.pk]) if blade else "#blade",
    )


def card(known: Known) -> Condition | None:
    """A card that was listed was held against its list."""
    if known.build.kind not in KINDS or known.card_held is None:
        return None
    return condition(
        "card",
        known.card_held,
        _("Card held against its list"),
        _("Card not held against its list yet, or it differs"),
        _("Check the card"),
        reverse("sounds_card", args=[known.build.number]),
    )


def _page(known: Known) -> str:
    return reverse("handover_build", args=[known.build.number]) + "#gestures"


def _few(names: list[str]) -> str:
    return ", ".join(names[:_NAMED]) + (" …" if len(names) > _NAMED else "")
