"""Hilts: a customer's object, its sections and joints. It outlives any one build."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.hilts.states import Basis, HoleFor, JointKind, MeasuredThing
from shop.people.models import Customer
from shop.stores.models import Part


class Hilt(models.Model):
    """A hilt, by the name that its owner or the shop gives it."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="hilts")
    name = models.CharField(_("hilt"), max_length=80)
    name_folded = models.CharField(max_length=80, db_index=True, editable=False)
    note = models.TextField(_("note"), blank=True)
    since = models.DateTimeField(editable=False)

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.name_folded = self.name.casefold()
        super().save(*args, **kwargs)

    @property
    def about(self) -> str:
        """The key under which history and private links know this hilt."""
        return f"hilt:{self.pk}"


class Blade(models.Model):
    """A blade, a thing of its own: what it is, its pixels counted, in which hilt it was tried."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="blades")
    part = models.ForeignKey(
        Part, null=True, blank=True, on_delete=models.PROTECT, related_name="blades"
    )
    name = models.CharField(_("blade"), max_length=80)
    name_folded = models.CharField(max_length=80, default="", db_index=True, editable=False)
    diameter_mm = models.FloatField(_("diameter"), null=True, blank=True)
    length_mm = models.FloatField(_("length"), null=True, blank=True)
    # As its part says, until somebody counted them on this blade.
    pixels = models.PositiveSmallIntegerField(_("pixels"), null=True, blank=True)
    counted_at = models.DateTimeField(null=True, editable=False)
    counted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, editable=False, on_delete=models.PROTECT,
        related_name="+",
    )  # fmt: skip
    connector = models.CharField(_("connector"), max_length=60, blank=True)
    tried_in = models.ForeignKey(
        Hilt, null=True, blank=True, on_delete=models.PROTECT, related_name="blades"
    )
    tried_at = models.DateTimeField(null=True, editable=False)
    tried_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, editable=False, on_delete=models.PROTECT,
        related_name="+",
    )  # fmt: skip
    note = models.CharField(_("note"), max_length=200, blank=True)
    since = models.DateTimeField(editable=False)
    # Sold on, broken, stripped: what it was stays told.
    ended_at = models.DateTimeField(null=True, editable=False)
    ended_because = models.CharField(max_length=120, blank=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(counted_at=None, counted_by=None)
                | Q(counted_at__isnull=False, counted_by__isnull=False, pixels__isnull=False),
                name="blade_counted_by_someone",
            ),
            models.CheckConstraint(
                condition=Q(tried_at=None, tried_by=None)
                | Q(tried_at__isnull=False, tried_by__isnull=False, tried_in__isnull=False),
                name="blade_tried_by_someone",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_because="")
                | Q(ended_at__isnull=False) & ~Q(ended_because=""),
                name="blade_ended_for_a_reason",
            ),
            models.CheckConstraint(
                condition=(Q(diameter_mm=None) | Q(diameter_mm__gt=0))
                & (Q(length_mm=None) | Q(length_mm__gt=0)),
                name="blade_has_a_size",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.name_folded = self.name.casefold()
        super().save(*args, **kwargs)

    @property
    def about(self) -> str:
        """The key under which history knows this blade."""
        return f"blade:{self.pk}"


class Section(models.Model):
    """A length of the hilt with its own bore: emitter, neck, grip, pommel… From front to back."""

    hilt = models.ForeignKey(Hilt, on_delete=models.PROTECT, related_name="sections")
    name = models.CharField(_("section"), max_length=40)
    position = models.PositiveSmallIntegerField()  # 1 is the blade's end
    holds_blade = models.BooleanField(_("the blade's socket is in it"), default=False)
    blade_screw = models.CharField(_("retention screw"), max_length=40, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    # Drawn or written down by mistake, or gone from the hilt: its measurements stay.
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["hilt", "position"], condition=Q(ended_at=None), name="section_in_order"
            ),
            models.UniqueConstraint(
                fields=["hilt"],
                condition=Q(ended_at=None, holds_blade=True),
                name="section_one_blade_socket",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Joint(models.Model):
    """What holds a section to the one behind it."""

    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="joints")
    kind = models.CharField(_("joint"), max_length=10, choices=JointKind)
    stuck = models.BooleanField(_("stuck"), default=False)
    note = models.CharField(_("note"), max_length=200, blank=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["section__position", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=JointKind.values), name="joint_kind_known"),
            models.UniqueConstraint(
                fields=["section"], condition=Q(ended_at=None), name="joint_one_behind_a_section"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} behind {self.section_id}"


class Hole(models.Model):
    """A hole through a section's wall: for a switch, a port, a light, a screw."""

    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="holes")
    what = models.CharField(_("hole for"), max_length=10, choices=HoleFor)
    note = models.CharField(_("note"), max_length=200, blank=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["section__position", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(what__in=HoleFor.values), name="hole_what_known"),
        ]

    def __str__(self) -> str:
        return f"{self.what} in {self.section_id}"


class Measurement(models.Model):
    """One thing told, believed or measured, with who and when. Append-only; see queries.in_force.

    Lengths in millimetres, angles in degrees, as ``quantity`` says. Of a bore the second reading,
    a quarter turn on, is kept beside the first; the smaller one is used.
    """

    hilt = models.ForeignKey(Hilt, on_delete=models.PROTECT, related_name="measurements")
    section = models.ForeignKey(
        Section, null=True, on_delete=models.PROTECT, related_name="measurements"
    )
    joint = models.ForeignKey(
        Joint, null=True, on_delete=models.PROTECT, related_name="measurements"
    )
    hole = models.ForeignKey(Hole, null=True, on_delete=models.PROTECT, related_name="measurements")
    quantity = models.CharField(max_length=14, choices=MeasuredThing)
    value = models.FloatField()
    second = models.FloatField(null=True)
    tolerance = models.FloatField(null=True)  # plus or minus, in the unit of the value
    as_typed = models.CharField(max_length=40)  # the text of it, with its unit
    basis = models.CharField(max_length=10, choices=Basis)
    believed_from = models.ForeignKey(
        Hilt, null=True, on_delete=models.PROTECT, related_name="lent_measurements"
    )
    # A double tap keeps it once.
    token = models.UUIDField(null=True, unique=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(section__isnull=False, joint=None, hole=None)
                | Q(section=None, joint__isnull=False, hole=None)
                | Q(section=None, joint=None, hole__isnull=False),
                name="measurement_of_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(quantity__in=MeasuredThing.values), name="measurement_quantity_known"
            ),
            models.CheckConstraint(
                condition=Q(basis__in=Basis.values), name="measurement_basis_known"
            ),
            models.CheckConstraint(
                condition=Q(believed_from=None) | Q(basis="believed"),
                name="measurement_believed_from_another",
            ),
            models.CheckConstraint(
                condition=Q(value__gte=0, value__lte=2000)
                & (Q(second=None) | Q(second__gt=0, second__lte=2000))
                & (Q(tolerance=None) | Q(tolerance__gte=0, tolerance__lte=2000)),
                name="measurement_of_a_hilt",
            ),
        ]
        indexes = [models.Index(fields=["hilt", "quantity"], name="measurement_of_hilt")]

    def __str__(self) -> str:
        return f"{self.quantity} {self.as_typed}"


class Step(models.Model):
    """A step of taking the hilt apart."""

    hilt = models.ForeignKey(Hilt, on_delete=models.PROTECT, related_name="steps")
    words = models.CharField(_("what comes off"), max_length=80)
    how = models.CharField(_("how"), max_length=200, blank=True)
    for_owner = models.BooleanField(_("the owner may do it"), default=True)
    wants_heat = models.BooleanField(_("wants heat"), default=False)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.words


class StepLink(models.Model):
    """That one step comes off before another."""

    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="links")
    first = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="frees")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["step", "first"], name="step_link_once"),
            models.CheckConstraint(
                condition=~Q(step=models.F("first")), name="step_link_not_to_itself"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.first_id} before {self.step_id}"
