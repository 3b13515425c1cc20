"""The services that carriers offer the shop, and the rules that they wrote themselves."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.dispatch.states import NEVER_BY_RULE, YOUR_CARRIER, Mode, Sides


class Service(models.Model):
    """A way of sending: who carries, by which way, and how the weight is reckoned."""

    name = models.CharField(_("name"), max_length=60)
    carrier = models.CharField(_("carrier"), max_length=60)
    mode = models.CharField(_("travels by"), max_length=24, choices=Mode)
    # Dimensional weight: volume / divisor, sides rounded up or not, in steps; above a volume only.
    sides = models.CharField(_("reckons in"), max_length=6, choices=Sides, default=Sides.CM_KG)
    divisor = models.FloatField(_("divisor of the dimensional weight"), null=True, blank=True)
    rounds_sides_up = models.BooleanField(_("each side is rounded up first"), default=False)
    weight_step = models.FloatField(_("weight is rounded up to the next"), null=True, blank=True)
    volume_above = models.FloatField(_("only above a volume of"), null=True, blank=True)
    most_g = models.PositiveIntegerField(_("heaviest parcel"), null=True, blank=True)
    covered_minor = models.PositiveBigIntegerField(null=True, blank=True)
    transit_days = models.PositiveSmallIntegerField(
        _("days on the way, at most"), null=True, blank=True
    )
    # A page of the carrier's where a number is followed; $number stands for it.
    follow_url = models.CharField(_("page to follow a number"), max_length=200, blank=True)
    position = models.PositiveSmallIntegerField(default=0)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(mode__in=Mode.values, sides__in=Sides.values),
                name="service_words_known",
            ),
            models.CheckConstraint(
                condition=(Q(divisor=None) | Q(divisor__gt=0))
                & (Q(weight_step=None) | Q(weight_step__gt=0))
                & (Q(volume_above=None) | Q(volume_above__gte=0)),
                name="service_figures_above_zero",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def about(self) -> str:
        """The key under which history knows this service."""
        return f"service:{self.pk}"

    @property
    def named_carrier(self) -> str:
        """The carrier; empty while nobody has named it."""
        return "" if self.carrier == str(YOUR_CARRIER) else self.carrier


class CarrierRule(models.Model):
    """What a carrier allows in writing beyond the rules known here. Append-only by trigger.

    It answers one reason of a refusal, never one of a damaged cell: no carrier's word does.
    """

    token = models.UUIDField(unique=True)
    service = models.ForeignKey(Service, on_delete=models.PROTECT, related_name="rules")
    code = models.CharField(_("what it allows"), max_length=40)  # the code of a reason
    words = models.TextField(_("the carrier's own words"))
    source = models.CharField(_("who wrote it, where"), max_length=200)
    written_on = models.DateField(_("written on"))
    valid_until = models.DateField(_("valid until"), null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["service", "code", "id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(code__in=NEVER_BY_RULE) & ~Q(code__startswith="missing-"),
                name="carrier_rule_never_of_a_damaged_cell",
            ),
            models.CheckConstraint(
                condition=~Q(words="") & ~Q(source="") & ~Q(code=""),
                name="carrier_rule_in_its_words",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.service_id}: {self.code}"
