"""Quotes and change orders: their lines, and how each was answered."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from shop.house.states import Prices, Rounding
from shop.orders.models.ordered import How, Item, Order
from shop.stores.models import Kit, Part

_STAFF = settings.AUTH_USER_MODEL


class QuoteKind(models.TextChoices):
    """The first offer for an order, or a change to what was agreed."""

    QUOTE = "quote", _("quote")
    CHANGE = "change", _("change order")


class QuoteState(models.TextChoices):
    """Where a quote stands. Whether it has run out is asked of its last day."""

    DRAFT = "draft", _("draft")
    SENT = "sent", _("waits for the answer")
    ACCEPTED = "accepted", _("accepted")
    DECLINED = "declined", _("declined")
    WITHDRAWN = "withdrawn", _("withdrawn")


class Quote(models.Model):
    """An offer in figures. Once sent, its text, lines and figures never change; see the triggers.

    A change order is the next revision: it holds *all* lines as they would then stand, so that
    the newest accepted revision says by itself what was agreed.
    """

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="quotes")
    revision = models.PositiveSmallIntegerField()
    token = models.UUIDField(unique=True)
    kind = models.CharField(max_length=10, choices=QuoteKind, default=QuoteKind.QUOTE)
    state = models.CharField(max_length=10, choices=QuoteState, default=QuoteState.DRAFT)
    because = models.TextField(_("what was found and what changes"), blank=True)
    minutes_so_far = models.PositiveIntegerField(_("worked so far, minutes"), null=True, blank=True)
    currency = models.CharField(max_length=3)
    prices = models.CharField(max_length=12, choices=Prices)
    rounding = models.CharField(max_length=20, choices=Rounding)
    discount_hundredths = models.PositiveIntegerField(default=0)  # of a per cent
    discount_minor = models.PositiveBigIntegerField(default=0)
    # What it comes to, from the low and the high quantities; the work may not pass the ceiling.
    low_minor = models.PositiveBigIntegerField(default=0)
    high_minor = models.PositiveBigIntegerField(default=0)
    tax_minor = models.PositiveBigIntegerField(default=0)  # in the high figure
    ceiling_minor = models.PositiveBigIntegerField(null=True, blank=True)
    deposit_minor = models.PositiveBigIntegerField(default=0)
    valid_until = models.DateField(_("valid until"), null=True, blank=True)
    text = models.TextField(blank=True)  # the exact words that were sent, figures and all
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField(null=True)
    answered_at = models.DateTimeField(null=True)  # or withdrawn
    answered_how = models.CharField(max_length=10, choices=How, blank=True)
    answer_words = models.TextField(blank=True)
    recorded_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["order", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["order", "revision"], name="quote_revision_once"),
            models.UniqueConstraint(
                fields=["order"],
                condition=Q(state__in=["draft", "sent"]),
                name="quote_one_open_an_order",
            ),
            models.CheckConstraint(
                condition=Q(state__in=QuoteState.values), name="quote_state_known"
            ),
            models.CheckConstraint(condition=Q(kind__in=QuoteKind.values), name="quote_kind_known"),
            models.CheckConstraint(
                condition=Q(low_minor__lte=F("high_minor")), name="quote_low_is_not_above_high"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "withdrawn"])
                | Q(sent_at__isnull=False) & ~Q(text=""),
                name="quote_sent_with_its_text",
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["accepted", "declined"])
                | Q(answered_at__isnull=False) & ~Q(answered_how=""),
                name="quote_answered_by_a_way",
            ),
        ]
        indexes = [models.Index(fields=["state", "valid_until"], name="quote_waits")]

    def __str__(self) -> str:
        return f"{self.order}/{self.revision}"

    @property
    def about(self) -> str:
        """The key under which history knows this quote."""
        return f"quote:{self.pk}"


class LineOf(models.TextChoices):
    """What a line of a quote is made from."""

    KIT = "kit", _("kit")
    PART = "part", _("part")
    HOURS = "hours", _("hours")
    EXTRA = "extra", _("extra")
    POSTAGE = "postage", _("postage")
    RUSH = "rush", _("rush fee")


class QuoteLine(models.Model):
    """So many at so much each. Hours may have a low and a high figure."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    # None: of the order as a whole, as postage is.
    item = models.ForeignKey(Item, null=True, on_delete=models.PROTECT, related_name="quote_lines")
    position = models.PositiveSmallIntegerField(default=0)
    kind = models.CharField(max_length=10, choices=LineOf)
    words = models.CharField(_("what"), max_length=200)
    low_thousandths = models.PositiveIntegerField()
    quantity_thousandths = models.PositiveIntegerField()
    each_minor = models.PositiveBigIntegerField()
    tax_hundredths = models.PositiveIntegerField(default=0)  # of a per cent
    part = models.ForeignKey(Part, null=True, on_delete=models.PROTECT, related_name="+")
    kit = models.ForeignKey(Kit, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=LineOf.values), name="quote_line_kind_known"
            ),
            models.CheckConstraint(
                condition=Q(low_thousandths__lte=F("quantity_thousandths")),
                name="quote_line_low_is_not_above_high",
            ),
        ]

    def __str__(self) -> str:
        return self.words
