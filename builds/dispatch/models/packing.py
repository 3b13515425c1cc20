"""How a parcel is packed: goods beside the hilts, cells and their ends, the list that is ticked."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.dispatch.models.parcels import Parcel
from builds.dispatch.states import CellUnit, Chemistry, Stowage, Terminals
from builds.progress.models import Build
from shop.orders.models import Item

_STAFF = settings.AUTH_USER_MODEL


class PackedGoods(models.Model):
    """That goods of an order are in a parcel; each item lies in one parcel at a time."""

    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="goods")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="packed_goods")
    taken_out_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["item"], condition=Q(taken_out_at=None), name="goods_in_one_parcel"
            )
        ]

    def __str__(self) -> str:
        return f"{self.item_id} in {self.parcel_id}"


class Stowed(models.Model):
    """Where the cells of a build or of goods are on the way, and how their ends are safe.

    What the parts of a build say of its cell is not repeated; what they don't say is typed here.
    """

    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="stowed")
    build = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="+")
    goods = models.ForeignKey(PackedGoods, null=True, on_delete=models.PROTECT, related_name="+")
    stowage = models.CharField(_("cell"), max_length=12, choices=Stowage)
    terminals = models.CharField(_("its ends"), max_length=10, choices=Terminals, blank=True)
    charge_percent = models.PositiveSmallIntegerField(_("charge"), null=True, blank=True)
    chemistry = models.CharField(_("chemistry"), max_length=6, choices=Chemistry, blank=True)
    unit = models.CharField(_("counts as"), max_length=8, choices=CellUnit, blank=True)
    count = models.PositiveSmallIntegerField(_("how many"), null=True, blank=True)
    needed = models.PositiveSmallIntegerField(_("how many it runs on"), null=True, blank=True)
    watt_hours = models.FloatField(_("watt-hours of each"), null=True, blank=True)
    lithium_g = models.FloatField(_("grams of lithium in each"), null=True, blank=True)
    test_summary = models.BooleanField(_("UN 38.3 test summary on file"), null=True, blank=True)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "stowed"
        constraints = [
            models.CheckConstraint(
                condition=Q(build__isnull=False, goods=None) | Q(build=None, goods__isnull=False),
                name="stowed_of_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(stowage__in=Stowage.values)
                & (Q(terminals="") | Q(terminals__in=Terminals.values))
                & (Q(chemistry="") | Q(chemistry__in=Chemistry.values))
                & (Q(unit="") | Q(unit__in=CellUnit.values)),
                name="stowed_words_known",
            ),
            models.CheckConstraint(
                condition=(Q(charge_percent=None) | Q(charge_percent__lte=100))
                & (Q(count=None) | Q(count__gte=1))
                & (Q(needed=None) | Q(needed__gte=1))
                & (Q(watt_hours=None) | Q(watt_hours__gt=0))
                & (Q(lithium_g=None) | Q(lithium_g__gt=0)),
                name="stowed_figures_possible",
            ),
            models.UniqueConstraint(
                fields=["parcel", "build"],
                condition=Q(build__isnull=False),
                name="stowed_once_a_build",
            ),
            models.UniqueConstraint(
                fields=["goods"], condition=Q(goods__isnull=False), name="stowed_once_a_good"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stowage} in {self.parcel_id}"


class PackTick(models.Model):
    """A line of the packing list that somebody ticked; taken back, it stays told.

    Append-only by trigger, but for taking it back.
    """

    token = models.UUIDField(unique=True)
    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="ticks")
    build = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="+")
    code = models.CharField(max_length=30)  # a line of builds.dispatch's packing list
    at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["parcel", "code"],
                condition=Q(taken_back_at=None, build=None),
                name="pack_tick_once_a_parcel",
            ),
            models.UniqueConstraint(
                fields=["parcel", "code", "build"],
                condition=Q(taken_back_at=None, build__isnull=False),
                name="pack_tick_once_a_build",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.parcel_id}"
