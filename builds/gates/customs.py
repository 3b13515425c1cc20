"""What is asked of a parcel that leaves the country."""

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.dispatch.queries.customs import is_abroad, lacks
from builds.gates.known import Condition, Known, condition
from builds.progress.states import Leaves


def customs(known: Known) -> Condition | None:
    """Asked once it lies in a parcel: description, value, origin and tariff code are told."""
    country = known.build.item.order.consignee.country
    if known.build.leaves_by != Leaves.POST or known.parcel is None:
        return None
    if not is_abroad(country, known.house):
        return None
    missing = lacks(known.parcel)
    return condition(
        "customs",
        not missing,
        _("The customs are told"),
        _("For the customs is missing: %s") % ", ".join(missing),
        _("Fill it in"),
        reverse("dispatch_parcel", args=[known.parcel.pk]) + "#customs",
    )
