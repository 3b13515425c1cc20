"""The condition out of dispatch of the hand-over: its owner can see or read how it works."""

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.gates.known import Condition, Known, condition
from builds.progress.states import Kind

ASKED_OF = frozenset({Kind.FULL, Kind.UPGRADE})


def handed(known: Known) -> Condition | None:
    """A film or a booklet is published; the owner may pass it with a reason."""
    if known.build.kind not in ASKED_OF:
        return None
    no = _("No film and no booklet published yet")
    if known.has_old_booklet:
        no = _("Its booklet is of before it came back: make it anew and publish it")
    page = reverse("handover_build", args=[known.build.number])
    return condition(
        "handed",
        known.handed,
        _("Film or booklet published"),
        no,
        _("Publish one"),
        f"{page}#booklet",
    )
