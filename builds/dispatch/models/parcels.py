"""A parcel, and the builds in it."""

from urllib.parse import quote

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.dispatch.models.services import Service
from builds.dispatch.states import Insured
from builds.progress.models import Build
from shop.orders.models import Consignee
from shop.stores.models import Part

_STAFF = settings.AUTH_USER_MODEL


class Parcel(models.Model):
    """A parcel leaves whole, on a dispatch day. Tracking may follow later.

    From the moment it left, what it was and where it went never changes; see the triggers.
    """

    token = models.UUIDField(unique=True)
    day = models.DateField(_("leaves on"))
    closed_at = models.DateTimeField()
    closed_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    box = models.ForeignKey(
        Part, null=True, blank=True, on_delete=models.PROTECT, related_name="parcels"
    )
    # Outside, as measured; where not, those of its box.
    length_mm = models.FloatField(_("length"), null=True, blank=True)
    width_mm = models.FloatField(_("width"), null=True, blank=True)
    height_mm = models.FloatField(_("height"), null=True, blank=True)
    gross_g = models.PositiveIntegerField(_("weighed, closed"), null=True, blank=True)
    service = models.ForeignKey(
        Service, null=True, blank=True, on_delete=models.PROTECT, related_name="parcels"
    )
    declared_minor = models.PositiveBigIntegerField(null=True, blank=True)
    insured_by = models.CharField(_("who bears a loss"), max_length=10, choices=Insured, blank=True)
    is_unused = models.BooleanField(_("nothing in it was used or repaired before"), default=False)
    # For the customs, where it leaves the country.
    customs_words = models.CharField(_("what it is, for the customs"), max_length=200, blank=True)
    customs_minor = models.PositiveBigIntegerField(null=True, blank=True)
    origin = models.CharField(_("country of origin"), max_length=2, blank=True)
    tariff_code = models.CharField(_("tariff code"), max_length=14, blank=True)
    carrier = models.CharField(_("carrier"), max_length=60, blank=True)
    tracking = models.CharField(_("tracking number"), max_length=60, blank=True, db_index=True)
    left_at = models.DateTimeField(null=True)
    left_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    # What was said of it as it left: where it went, how it was classed, by which edition.
    sent_to = models.TextField(blank=True)
    classed = models.JSONField(null=True)
    opened_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(
                fields=["day"], name="parcel_to_leave", condition=Q(left_at=None, opened_at=None)
            ),
            models.Index(fields=["left_at", "day"], name="parcel_left"),
            models.Index(fields=["day"], name="parcel_day"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(left_at=None) | Q(opened_at=None), name="parcel_opened_never_leaves"
            ),
            models.CheckConstraint(
                condition=Q(insured_by="") | Q(insured_by__in=Insured.values),
                name="parcel_insured_by_someone_known",
            ),
            models.CheckConstraint(
                condition=(Q(length_mm=None) | Q(length_mm__gt=0))
                & (Q(width_mm=None) | Q(width_mm__gt=0))
                & (Q(height_mm=None) | Q(height_mm__gt=0)),
                name="parcel_sides_above_zero",
            ),
        ]

    def __str__(self) -> str:
        return f"parcel {self.pk}"

    @property
    def about(self) -> str:
        """The key under which history knows this parcel."""
        return f"parcel:{self.pk}"

    @property
    def consignee(self) -> Consignee | None:
        """To whom and where it goes: where the order of the first build in it does."""
        first = next(iter(getattr(self, "inside", [])), None)
        return first.build.item.order.consignee if first else None

    @property
    def carried_by(self) -> str:
        """The carrier: as noted with the number, else that of the service."""
        return self.carrier or (self.service.named_carrier if self.service else "")

    @property
    def follow_url(self) -> str:
        """The carrier's page where its number is followed; empty where there is none."""
        service = self.service
        if not (service and self.tracking and self.carried_by == service.named_carrier):
            return ""
        return service.follow_url.replace("$number", quote(self.tracking, safe=""))


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
