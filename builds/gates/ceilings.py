"""The condition that nothing above the agreed ceiling is worked without a yes."""

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.gates.known import Condition, Known, condition


def ceiling(known: Known) -> Condition | None:
    """In words without a figure: the bench sees none."""
    foreseen = known.foreseen
    if foreseen is None:
        return None
    yes = _("Within the agreed ceiling")
    if foreseen.unpriced:
        count = foreseen.unpriced
        said = ngettext(
            "Within the agreed ceiling as far as is known: %d planned part has no price",
            "Within the agreed ceiling as far as is known: %d planned parts have no price",
            count,
        )
        yes = said % count
    return condition(
        "ceiling",
        not foreseen.is_over,
        yes,
        _("What is planned comes to more than the agreed ceiling: it wants a new yes"),
        _("Change order"),
        reverse("bench_change", args=[known.build.number]),
        never_pass=True,
    )
