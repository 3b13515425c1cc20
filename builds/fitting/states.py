"""How far a part of a build has come, and which kinds carry a number of their own."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from builds.progress.states import Kind
from shop.stores.kinds import PartKind

# Kinds whose every piece bears a serial number worth noting: a repair a year on asks for it.
WITH_SERIAL = frozenset({PartKind.BOARD})
# Kinds of jobs whose hilt leaves with parts of ours in it: an empty list of them is no list yet.
ALWAYS_WITH_PARTS = frozenset({Kind.FULL, Kind.UPGRADE})


class PartState(models.TextChoices):
    """Planned, set aside, in the hilt."""

    PLANNED = "planned", _("planned")
    RESERVED = "reserved", _("reserved")
    FITTED = "fitted", _("fitted")
