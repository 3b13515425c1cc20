"""Parcels: what leaves, on which day, and with what tracking."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from shop.people.models import Customer


class Parcel(models.Model):
    """A parcel leaves whole, on a dispatch day. Tracking may follow later."""

    token = models.UUIDField(unique=True)
    day = models.DateField(_("leaves on"))
    closed_at = models.DateTimeField()
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    carrier = models.CharField(_("carrier"), max_length=60, blank=True)
    tracking = models.CharField(_("tracking number"), max_length=60, blank=True, db_index=True)
    left_at = models.DateTimeField(null=True)
    left_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    opened_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(
                fields=["day"], name="parcel_to_leave", condition=Q(left_at=None, opened_at=None)
            )
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(left_at=None) | Q(opened_at=None), name="parcel_opened_never_leaves"
            )
        ]

    def __str__(self) -> str:
        return f"parcel {self.pk}"

    @property
    def consignee(self) -> Customer | None:
        """To whom it goes: the customer of the first build in it."""
        first = next(iter(getattr(self, "inside", [])), None)
        return first.build.item.order.customer if first else None


class Packed(models.Model):
    """That a build is in a parcel; a build is in one parcel at a time."""

    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="packed")
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="packed")
    taken_out_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["build"], condition=Q(taken_out_at=None), name="build_in_one_parcel"
            )
        ]

    def __str__(self) -> str:
        return f"{self.build_id} in {self.parcel_id}"
