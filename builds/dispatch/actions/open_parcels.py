"""What every deed on a parcel asks first: it is locked, stands open, and nobody was faster."""

from django.utils.translation import gettext as _

from builds.dispatch.actions.parcels import lock_parcel
from builds.dispatch.models import Parcel
from builds.dispatch.refusals import Refused


def lock_open(parcel_id: int) -> Parcel:
    """The parcel, locked, that may still change.

    :raises Refused: it left, or it was opened again.
    """
    parcel = lock_parcel(parcel_id)
    if parcel.left_at:
        raise Refused(_("This parcel has left."))
    if parcel.opened_at:
        raise Refused(_("This parcel was opened again; close it first."))
    return parcel
