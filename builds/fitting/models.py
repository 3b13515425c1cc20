"""The parts of a build, its wiring, its plan, and decisions on what the sums found."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from builds.fitting.states import PartState
from builds.hilts.models import Section
from builds.intake.models import Belonging
from builds.progress.models import Build
from shop.stores.kinds import PartKind
from shop.stores.models import Kit, Part, Reservation

_STAFF = settings.AUTH_USER_MODEL


class Chassis(models.TextChoices):
    """Whether the chassis comes out again."""

    REMOVABLE = "removable", _("removable")
    FIXED = "fixed", _("fixed")
    NONE = "none", pgettext_lazy("a chassis", "none")


class Plan(models.Model):
    """What is decided about a build as a whole; frozen results as it left teardown."""

    build = models.OneToOneField(Build, on_delete=models.PROTECT, related_name="plan")
    chassis = models.CharField(_("chassis"), max_length=10, choices=Chassis, blank=True)
    kit = models.ForeignKey(Kit, null=True, on_delete=models.PROTECT, related_name="plans")
    # What the sums said as the build left teardown, for the day somebody asks.
    fit = models.JSONField(null=True)
    power = models.JSONField(null=True)
    frozen_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(chassis="") | Q(chassis__in=Chassis.values), name="plan_chassis_known"
            ),
        ]

    def __str__(self) -> str:
        return f"plan of {self.build_id}"


class BuildPart(models.Model):
    """A part in a build: planned, reserved, fitted. Of the shop's stores or the customer's own.

    ``section`` is where it sits, ``position`` its order from the blade's end, ``lies_on`` the part
    that it lies flat on (a board on its cell).
    """

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="parts")
    part = models.ForeignKey(Part, null=True, on_delete=models.PROTECT, related_name="in_builds")
    belonging = models.ForeignKey(
        Belonging, null=True, on_delete=models.PROTECT, related_name="in_builds"
    )
    kind = models.CharField(_("kind"), max_length=12, choices=PartKind)
    # Of a customer's own part: its figures, by the names in shop.stores.specs.
    spec = models.JSONField(default=dict, blank=True)
    quantity = models.PositiveIntegerField(_("how many"), default=1)
    section = models.ForeignKey(
        Section, null=True, blank=True, on_delete=models.PROTECT, related_name="parts"
    )
    position = models.PositiveSmallIntegerField(default=0)
    # How far behind the section's front edge it begins; empty is in order, as far front as it goes.
    starts_mm = models.FloatField(null=True, blank=True)
    lies_on = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="carries"
    )
    serial = models.CharField(_("serial number"), max_length=60, blank=True)
    serial_folded = models.CharField(max_length=60, blank=True, editable=False, db_index=True)
    reservation = models.OneToOneField(
        Reservation, null=True, on_delete=models.PROTECT, related_name="build_part"
    )
    planned_at = models.DateTimeField()
    planned_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    fitted_at = models.DateTimeField(null=True)
    fitted_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    # Taken off the list or out of the hilt again; what was fitted stays told.
    ended_at = models.DateTimeField(null=True)
    ended_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(part__isnull=False, belonging=None)
                | Q(part=None, belonging__isnull=False),
                name="build_part_of_one_owner",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=PartKind.values), name="build_part_kind_known"
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="build_part_of_some"),
            models.CheckConstraint(
                condition=Q(reservation=None) | Q(part__isnull=False),
                name="build_part_reserves_from_stores",
            ),
            models.CheckConstraint(
                condition=Q(fitted_at=None, fitted_by=None)
                | Q(fitted_at__isnull=False, fitted_by__isnull=False),
                name="build_part_fitted_by_someone",
            ),
            models.CheckConstraint(
                condition=Q(starts_mm=None) | Q(starts_mm__gte=0),
                name="build_part_starts_in_its_section",
            ),
            models.UniqueConstraint(
                fields=["belonging"],
                condition=Q(ended_at=None, belonging__isnull=False),
                name="build_part_belonging_once",
            ),
        ]
        indexes = [
            models.Index(fields=["build"], name="build_part_there", condition=Q(ended_at=None))
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.build_id}"

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.serial_folded = self.serial.casefold()
        super().save(*args, **kwargs)

    @property
    def state(self) -> PartState:
        """How far it has come; wants ``reservation`` read along."""
        if self.fitted_at:
            return PartState.FITTED
        held = self.reservation
        is_held = held is not None and held.released_at is None and held.fitted_at is None
        return PartState.RESERVED if is_held else PartState.PLANNED

    @property
    def name(self) -> str:
        """What it is called; wants ``part`` and ``belonging`` read along."""
        return str(self.part or self.belonging)


class Carries(models.TextChoices):
    """What a wire feeds; its current follows from it."""

    ALL = "all", _("everything")
    BLADE = "blade", _("the blade")
    ACCENTS = "accents", _("accents")
    SPEAKER = "speaker", _("the speaker")
    CHARGE = "charge", _("charging")
    SIGNAL = "signal", _("signals only")


class WireRun(models.Model):
    """One line of the wiring list: a pair, out and back; what carries signals, single wires."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="wires")
    starts = models.CharField(_("from"), max_length=60)
    ends = models.CharField(_("to"), max_length=60)
    carries = models.CharField(_("carries"), max_length=10, choices=Carries)
    gauge = models.SmallIntegerField(_("gauge, AWG"))  # 0000 is -3
    length_mm = models.PositiveIntegerField(_("one way, mm"))
    # The length was worked out from the hilt's measures; whoever types one makes it theirs.
    is_guess = models.BooleanField(default=False)
    spare_mm = models.PositiveIntegerField(_("added for stripping, mm"), default=20)
    parallel = models.PositiveSmallIntegerField(_("side by side"), default=1)
    colour = models.CharField(_("wire's colour"), max_length=30, blank=True)
    part = models.ForeignKey(
        Part, null=True, blank=True, on_delete=models.PROTECT, related_name="wires"
    )
    cut_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(carries__in=Carries.values), name="wire_carries"),
            models.CheckConstraint(
                condition=Q(gauge__gte=-3, gauge__lte=40), name="wire_gauge_known"
            ),
            models.CheckConstraint(condition=Q(parallel__gte=1), name="wire_at_least_one"),
            models.CheckConstraint(condition=Q(length_mm__gte=1), name="wire_of_some_length"),
        ]

    def __str__(self) -> str:
        return f"{self.starts} to {self.ends}"

    @property
    def cut_mm(self) -> int:
        """What one piece is cut to."""
        return self.length_mm + self.spare_mm

    @property
    def pieces(self) -> int:
        """How many are cut: what feeds something goes out and comes back."""
        return self.parallel if self.carries == Carries.SIGNAL else 2 * self.parallel

    @property
    def cut_in_all_mm(self) -> int:
        """What all its pieces are cut from."""
        return self.cut_mm * self.pieces


class Decision(models.Model):
    """That what a sum found was looked at and accepted, once a kit or once a build. Append-only."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="decisions")
    kit = models.ForeignKey(Kit, null=True, on_delete=models.PROTECT, related_name="decisions")
    code = models.CharField(max_length=200)  # the finding's key: what, and found at what
    # On which figures it was taken: what has become worse since is asked anew.
    figures = models.JSONField(default=dict)
    words = models.CharField(_("why it may be so"), max_length=200)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        indexes = [
            models.Index(fields=["kit"], name="decision_of_a_kit", condition=Q(kit__isnull=False))
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(build__isnull=False, kit=None) | Q(build=None, kit__isnull=False),
                name="decision_for_a_build_or_a_kit",
            ),
            models.CheckConstraint(condition=~Q(words=""), name="decision_says_why"),
        ]

    def __str__(self) -> str:
        return f"{self.code}: {self.words}"
