"""Parts and what is known of them."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from shop.stores.kinds import Counted, PartKind
from shop.stores.models.buying import Supplier


class Part(models.Model):
    """A part that the shop stocks or knows. Its number stands on its label."""

    number = models.PositiveIntegerField(unique=True)
    kind = models.CharField(_("kind"), max_length=12, choices=PartKind)
    name = models.CharField(_("name"), max_length=80)
    name_folded = models.CharField(max_length=80, db_index=True, editable=False)
    counted = models.CharField(_("counted in"), max_length=6, choices=Counted, default="piece")
    # What it is, by the names in shop.stores.specs, in the units that stand in those names.
    spec = models.JSONField(default=dict, blank=True)
    # Comes with the tool: its figures are typical ones, until somebody measures or states better.
    is_typical = models.BooleanField(default=False, editable=False)
    supplier = models.ForeignKey(
        Supplier, null=True, blank=True, on_delete=models.PROTECT, related_name="parts"
    )
    supplier_ref = models.CharField(_("supplier's number for it"), max_length=60, blank=True)
    pack = models.PositiveIntegerField(_("comes in packs of"), default=1)
    cost_minor = models.PositiveIntegerField(null=True, blank=True)  # each; for wire, a metre
    price_minor = models.PositiveIntegerField(null=True, blank=True)  # what customers pay; the same
    stocked = models.BooleanField(_("keep in stock"), default=True)
    retired = models.BooleanField(default=False)
    note = models.TextField(_("note"), blank=True)
    # For the owner of the hilt it goes into: what not to press, bend or twist.
    care = models.CharField(_("what its owner leaves alone"), max_length=200, blank=True)
    since = models.DateTimeField(editable=False)

    class Meta:
        ordering = ["kind", "name_folded", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=PartKind.values), name="part_kind_known"),
            models.CheckConstraint(condition=Q(counted__in=Counted.values), name="part_counted"),
            models.CheckConstraint(condition=Q(pack__gte=1), name="part_pack_at_least_one"),
        ]
        indexes = [models.Index(fields=["kind", "name_folded"], name="part_of_kind")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.name_folded = self.name.casefold()
        super().save(*args, **kwargs)

    @property
    def about(self) -> str:
        """The key under which history knows this part."""
        return f"part:{self.pk}"

    @property
    def label(self) -> str:
        """What stands on its label, and what a scan of it gives."""
        return f"P{self.number:04d}"


class Rating(models.Model):
    """A limit or a figure that somebody states, with who says so. Append-only by trigger.

    Where two sources differ both are kept; the lower is used, for a capacity as for a current.
    A wrong one is withdrawn, by the one column that may change.
    """

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="ratings")
    quantity = models.CharField(max_length=30)  # a name in shop.stores.specs, unit in the name
    value = models.FloatField()
    source = models.CharField(_("who says so"), max_length=120)
    is_typical = models.BooleanField(default=False)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["quantity", "value", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(value__gt=0), name="rating_above_zero"),
            models.CheckConstraint(condition=~Q(source=""), name="rating_has_its_source"),
        ]
        indexes = [
            models.Index(
                fields=["part", "quantity"], name="rating_in_force", condition=Q(withdrawn_at=None)
            )
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.value:g}"
