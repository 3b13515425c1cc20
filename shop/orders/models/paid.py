"""Payments, invoices, credit notes and receipts, and trade customers' accounts."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from shop.orders.models.ordered import Item, Order
from shop.people.models import Customer

_STAFF = settings.AUTH_USER_MODEL


class Paid(models.TextChoices):
    """What a row of the ledger is. Its sign in the balance follows from it."""

    DEPOSIT = "deposit", _("deposit")
    PAYMENT = "payment", _("payment")
    REFUND = "refund", _("refund")
    WRITTEN_OFF = "written-off", _("written off")


class Way(models.TextChoices):
    """How money came or went. No card's number is ever kept."""

    TRANSFER = "transfer", _("bank transfer")
    CASH = "cash", _("cash")
    CARD = "card", _("card, taken elsewhere")
    ONLINE = "online", _("payment service")
    CHEQUE = "cheque", _("cheque")
    OTHER = "other", _("another way")


class Payment(models.Model):
    """Money that came or went, or was given up. Append-only by trigger; the balance is derived.

    A mistake is put right by a row that takes it back, never by a change.
    """

    token = models.UUIDField(unique=True)
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="payments")
    item = models.ForeignKey(Item, null=True, on_delete=models.PROTECT, related_name="payments")
    kind = models.CharField(max_length=12, choices=Paid)
    amount_minor = models.PositiveBigIntegerField()
    currency = models.CharField(max_length=3)
    way = models.CharField(_("how"), max_length=10, choices=Way)
    reference = models.CharField(_("reference"), max_length=120, blank=True)
    paid_on = models.DateField(_("on"))
    because = models.CharField(_("why"), max_length=200, blank=True)
    takes_back = models.OneToOneField(
        "self", null=True, on_delete=models.PROTECT, related_name="taken_back_by"
    )
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=Paid.values), name="payment_kind_known"),
            models.CheckConstraint(condition=Q(way__in=Way.values), name="payment_way_known"),
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="payment_of_something"),
            models.CheckConstraint(
                condition=~Q(kind__in=["refund", "written-off"]) | ~Q(because=""),
                name="payment_back_says_why",
            ),
        ]
        indexes = [models.Index(fields=["order", "at"], name="payment_of_order")]

    def __str__(self) -> str:
        return f"{self.kind} {self.amount_minor}"


class Paper(models.TextChoices):
    """A paper with a number of its own series."""

    INVOICE = "invoice", _("invoice")
    CREDIT = "credit", _("credit note")
    RECEIPT = "receipt", _("receipt")


class Invoice(models.Model):
    """A numbered paper as it was issued, names and lines and all. Append-only by trigger."""

    token = models.UUIDField(unique=True)
    paper = models.CharField(max_length=10, choices=Paper, default=Paper.INVOICE)
    number = models.CharField(max_length=20, unique=True)
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="invoices")
    credits = models.ForeignKey(
        "self", null=True, on_delete=models.PROTECT, related_name="credited_by"
    )
    payment = models.ForeignKey(
        Payment, null=True, on_delete=models.PROTECT, related_name="receipts"
    )
    currency = models.CharField(max_length=3)
    # Lines, discount and tax by rate, in minor units, as they stand on the paper.
    figures = models.JSONField()
    net_minor = models.BigIntegerField()
    tax_minor = models.BigIntegerField()
    gross_minor = models.BigIntegerField()
    seller = models.TextField()
    buyer = models.TextField()
    reference = models.CharField(_("customer's reference"), max_length=80, blank=True)
    because = models.CharField(_("why"), max_length=200, blank=True)
    issued_on = models.DateField()
    due_on = models.DateField(null=True)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(paper__in=Paper.values), name="invoice_paper_known"),
            models.CheckConstraint(
                condition=Q(paper="credit", credits__isnull=False)
                | ~Q(paper="credit") & Q(credits=None),
                name="invoice_credit_says_of_what",
            ),
            models.CheckConstraint(
                condition=Q(gross_minor=models.F("net_minor") + models.F("tax_minor")),
                name="invoice_adds_up",
            ),
        ]
        indexes = [models.Index(fields=["issued_on"], name="invoice_issued")]

    def __str__(self) -> str:
        return self.number


class Account(models.Model):
    """A trade customer on account: own terms, own prices, own reference."""

    customer = models.OneToOneField(Customer, on_delete=models.PROTECT, related_name="account")
    days = models.PositiveSmallIntegerField(_("days to pay"), default=30)
    discount_hundredths = models.PositiveIntegerField(default=0)  # of a per cent
    hour_minor = models.PositiveIntegerField(null=True, blank=True)
    limit_minor = models.PositiveBigIntegerField(null=True, blank=True)
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    closed_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"account of {self.customer_id}"
