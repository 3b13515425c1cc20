"""Suppliers, purchase orders, deliveries, and claims for dead parts."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

_STAFF = settings.AUTH_USER_MODEL


class Supplier(models.Model):
    """Somebody parts are bought from."""

    name = models.CharField(_("supplier"), max_length=80, unique=True)
    email = models.EmailField(_("e-mail"), blank=True)
    web = models.URLField(_("web page"), blank=True)
    lead_days = models.PositiveSmallIntegerField(_("usual days until it comes"), default=14)
    lead_spread_days = models.PositiveSmallIntegerField(_("give or take, in days"), default=4)
    note = models.TextField(_("note"), blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def about(self) -> str:
        """The key under which history knows this supplier."""
        return f"supplier:{self.pk}"


class PurchaseState(models.TextChoices):
    """Where a purchase order stands; whether all of it came is asked of its deliveries."""

    DRAFT = "draft", _("draft")
    ORDERED = "ordered", _("ordered")
    CLOSED = "closed", _("closed")
    CANCELLED = "cancelled", _("cancelled")


class Purchase(models.Model):
    """A purchase order to a supplier."""

    number = models.CharField(max_length=14, unique=True)
    token = models.UUIDField(unique=True)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="purchases")
    state = models.CharField(max_length=10, choices=PurchaseState, default=PurchaseState.DRAFT)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    ordered_at = models.DateTimeField(null=True)
    expected_on = models.DateField(_("expected on"), null=True, blank=True)
    supplier_ref = models.CharField(_("supplier's order number"), max_length=60, blank=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=PurchaseState.values), name="purchase_state_known"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "cancelled"]) | Q(ordered_at__isnull=False),
                name="purchase_ordered_at_a_time",
            ),
        ]
        indexes = [models.Index(fields=["state", "expected_on"], name="purchase_waits")]

    def __str__(self) -> str:
        return self.number

    @property
    def about(self) -> str:
        """The key under which history knows this purchase order."""
        return f"purchase:{self.pk}"


class PurchaseLine(models.Model):
    """So much of one part on a purchase order."""

    purchase = models.ForeignKey(Purchase, on_delete=models.PROTECT, related_name="lines")
    part = models.ForeignKey("shop.Part", on_delete=models.PROTECT, related_name="purchase_lines")
    quantity = models.PositiveIntegerField(_("how many"))
    cost_minor = models.PositiveIntegerField(null=True, blank=True)  # each; the owner's alone
    # Given up: what has not come by then will not come.
    dropped_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="purchase_line_of_some"),
            models.UniqueConstraint(fields=["purchase", "part"], name="purchase_line_once_a_part"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} on {self.purchase_id}"

    @property
    def about(self) -> str:
        """The key that messages carry which its coming caused."""
        return f"purchase_line:{self.pk}"


class Delivery(models.Model):
    """Parts that came, all of an order or some of it. Append-only by trigger."""

    token = models.UUIDField(unique=True)
    purchase = models.ForeignKey(Purchase, on_delete=models.PROTECT, related_name="deliveries")
    came_at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(_("note"), max_length=200, blank=True)
    # Logged wrongly: it is out of stock again and counts as never come. The one column to change.
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        verbose_name_plural = "deliveries"
        ordering = ["-came_at", "-id"]

    def __str__(self) -> str:
        return f"delivery {self.pk}"


class DeliveryLine(models.Model):
    """How much of a line came: good ones go to stock. Append-only by trigger."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="lines")
    line = models.ForeignKey(PurchaseLine, on_delete=models.PROTECT, related_name="came")
    quantity = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="delivery_line_of_some"),
            models.UniqueConstraint(fields=["delivery", "line"], name="delivery_line_once"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} came"


class ClaimState(models.TextChoices):
    """How far a claim for dead parts has come."""

    OPEN = "open", _("to send back")
    SENT = "sent", _("sent back")
    REPLACED = "replaced", _("replaced")
    CREDITED = "credited", _("money back")
    REFUSED = "refused", _("refused")


class Claim(models.Model):
    """Dead or wrong parts that go back to who sold them."""

    token = models.UUIDField(unique=True)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="claims")
    part = models.ForeignKey("shop.Part", on_delete=models.PROTECT, related_name="claims")
    quantity = models.PositiveIntegerField(_("how many"), default=1)
    line = models.ForeignKey(
        PurchaseLine, null=True, on_delete=models.PROTECT, related_name="claims"
    )
    serial = models.CharField(_("serial number"), max_length=60, blank=True)
    fault = models.CharField(_("what is wrong with it"), max_length=200)
    about = models.CharField(max_length=40, blank=True)  # the build it was found in
    whose = models.CharField(max_length=40, blank=True)
    state = models.CharField(max_length=10, choices=ClaimState, default=ClaimState.OPEN)
    state_since = models.DateTimeField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=ClaimState.values), name="claim_state_known"
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="claim_of_some"),
            models.CheckConstraint(condition=~Q(fault=""), name="claim_says_what_is_wrong"),
        ]

    def __str__(self) -> str:
        return f"claim {self.pk}"
