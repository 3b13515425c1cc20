"""The stock ledger: rows that only grow, and the level that they add up to."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from shop.stores.models.buying import DeliveryLine
from shop.stores.models.parts import Part


class Deed(models.TextChoices):
    """What happened to stock."""

    RECEIVED = "received", _("received")
    RESERVED = "reserved", _("reserved")
    RELEASED = "released", _("released")
    FITTED = "fitted", _("fitted")
    RETURNED = "returned", _("returned")
    WRITTEN_OFF = "written-off", _("written off")
    COUNTED = "counted", _("counted")


class StockLevel(models.Model):
    """How much there is of a part. Written with each ledger row, under this row's lock."""

    part = models.OneToOneField(Part, on_delete=models.PROTECT, related_name="level")
    on_hand = models.PositiveIntegerField(default=0)
    reserved = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(reserved__gte=0, on_hand__gte=F("reserved")),
                name="stock_reserved_is_on_hand",
            )
        ]

    def __str__(self) -> str:
        return f"{self.on_hand}, {self.reserved} reserved"

    @property
    def free(self) -> int:
        """What nobody has reserved."""
        return self.on_hand - self.reserved


class Reservation(models.Model):
    """So much of a part set aside for something, until it is fitted or released."""

    token = models.UUIDField(unique=True)
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="reservations")
    quantity = models.PositiveIntegerField()
    about = models.CharField(max_length=40, db_index=True)  # as in "build:142"
    whose = models.CharField(max_length=40)  # in words, as in "0142 Copperfen"
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    fitted_at = models.DateTimeField(null=True)
    released_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="reservation_of_some"),
            models.CheckConstraint(
                condition=Q(fitted_at=None) | Q(released_at=None), name="reservation_ends_one_way"
            ),
        ]
        indexes = [
            models.Index(
                fields=["part"],
                name="reservation_open",
                condition=Q(fitted_at=None, released_at=None),
            )
        ]

    def __str__(self) -> str:
        return f"{self.quantity} for {self.whose}"


class StockRow(models.Model):
    """One line of the ledger. Append-only by trigger; its token makes a double tap one line."""

    token = models.UUIDField(unique=True)
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="ledger")
    deed = models.CharField(max_length=12, choices=Deed)
    on_hand_change = models.IntegerField(default=0)
    reserved_change = models.IntegerField(default=0)
    about = models.CharField(max_length=40, blank=True, db_index=True)
    whose = models.CharField(max_length=40, blank=True)
    reason = models.CharField(_("why"), max_length=200, blank=True)
    reservation = models.ForeignKey(
        Reservation, null=True, on_delete=models.PROTECT, related_name="ledger"
    )
    delivery_line = models.ForeignKey(
        DeliveryLine, null=True, on_delete=models.PROTECT, related_name="ledger"
    )
    # What one cost when it came in, in minor units; the owner's alone.
    cost_minor = models.PositiveIntegerField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(deed__in=Deed.values), name="stock_deed_known"),
        ]
        indexes = [
            models.Index(fields=["part", "-at"], name="ledger_of_part"),
            # What came is one row in thousands: what a part costs on the mean is read from these.
            models.Index(fields=["part"], name="ledger_received", condition=Q(deed=Deed.RECEIVED)),
        ]

    def __str__(self) -> str:
        return f"{self.deed} {self.on_hand_change:+d}"
