"""Builds, their moves and holds, and the trays and places that they stand in."""

from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.hilts.models import Blade, Hilt
from builds.progress.fields import StateField
from builds.progress.states import (
    ENDINGS,
    ON_THE_RULE,
    STAGES,
    HoldReason,
    Kind,
    Leaves,
    Spent,
    State,
    Turn,
)
from shop.orders.models import Item, Quote, QuoteState
from shop.stores.models import PurchaseLine

_OPEN = Q(state__in=STAGES)
_ENDED = Q(state__in=ENDINGS)


class Tray(models.Model):
    """The numbered box of a build's small parts."""

    number = models.PositiveSmallIntegerField(unique=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number:02d}"


class Place(models.Model):
    """A shelf or a corner where a hilt, a box or a blade stands."""

    name = models.CharField(_("place"), max_length=40, unique=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Build(models.Model):
    """The work on one hilt, once. Exactly one state, six stages and five endings in one field."""

    number = models.PositiveIntegerField(unique=True)
    item = models.OneToOneField(Item, on_delete=models.PROTECT, related_name="build")
    hilt = models.ForeignKey(Hilt, null=True, on_delete=models.PROTECT, related_name="builds")
    blade = models.ForeignKey(Blade, null=True, on_delete=models.PROTECT, related_name="builds")
    kind = models.CharField(_("kind of job"), max_length=10, choices=Kind, default=Kind.FULL)
    leaves_by = models.CharField(_("leaves"), max_length=10, choices=Leaves, default=Leaves.POST)
    state = StateField(max_length=10, choices=State, default=State.BOOKED)
    state_since = models.DateTimeField()
    started_at = models.DateTimeField(null=True)
    started_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    tray = models.ForeignKey(Tray, null=True, on_delete=models.PROTECT, related_name="builds")
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="builds")
    note = models.TextField(_("note"), blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(state__in=State.values), name="build_state_known"),
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="build_kind_known"),
            models.CheckConstraint(condition=Q(leaves_by__in=Leaves.values), name="build_leaves"),
            models.UniqueConstraint(
                fields=["tray"], condition=_OPEN, name="tray_holds_one_open_build"
            ),
            models.CheckConstraint(
                condition=Q(tray=None) | ~_ENDED, name="build_ending_frees_its_tray"
            ),
            models.CheckConstraint(
                condition=Q(state__in=[State.BOOKED, State.INTAKE, *ENDINGS])
                | Q(tray__isnull=False)
                | Q(place__isnull=False)
                | Q(hilt=None),
                name="build_past_intake_has_a_place",
            ),
            models.CheckConstraint(
                condition=Q(hilt__isnull=False) | Q(kind=Kind.BLADE), name="build_has_a_hilt"
            ),
            models.CheckConstraint(
                condition=Q(kind=Kind.BLADE, hilt=None, tray=None) | Q(hilt__isnull=False),
                name="build_blade_only_has_no_tray",
            ),
            models.CheckConstraint(
                condition=Q(started_at=None, started_by=None)
                | Q(started_at__isnull=False, started_by__isnull=False),
                name="build_started_by_someone",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "state_since"], name="build_open", condition=_OPEN),
            models.Index(fields=["hilt", "-number"], name="build_of_hilt"),
            models.Index(fields=["kind", "-state_since"], name="build_newest_of_kind"),
        ]

    def __str__(self) -> str:
        return f"{self.number:04d}"

    @property
    def about(self) -> str:
        """The key under which history and messages know this build."""
        return f"build:{self.pk}"

    @property
    def takes_parts(self) -> bool:
        """Whether parts go into its hilt in the stage that it is in."""
        return self.state in {State.INSTALL, State.TEST, State.DISPATCH}

    @property
    def is_open(self) -> bool:
        """Whether the build has not ended."""
        return self.state in STAGES


class Move(models.Model):
    """One change of state. Append-only by trigger; its token makes a double tap one move."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="moves")
    token = models.UUIDField(unique=True)
    from_state = models.CharField(max_length=10, choices=State)
    to_state = models.CharField(max_length=10, choices=State)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField(blank=True)
    undoes = models.OneToOneField(
        "self", null=True, on_delete=models.PROTECT, related_name="undone_by"
    )
    # Rework: a move backwards names the stage that caused it.
    caused_in = models.CharField(max_length=10, choices=State, blank=True)
    # What an undo gives back.
    was_started_at = models.DateTimeField(null=True)
    was_started_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    was_since = models.DateTimeField()
    was_in_tray = models.ForeignKey(Tray, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(from_state=models.F("to_state")), name="move_goes_somewhere"
            ),
            models.CheckConstraint(
                condition=Q(from_state__in=STAGES) | Q(undoes__isnull=False),
                name="move_never_from_an_ending",
            ),
            models.CheckConstraint(
                condition=Q(from_state__in=State.values, to_state__in=State.values),
                name="move_between_known_states",
            ),
            models.CheckConstraint(
                condition=Q(caused_in="") | Q(caused_in__in=STAGES), name="move_caused_in_a_stage"
            ),
        ]
        indexes = [
            models.Index(fields=["build", "-at"], name="move_of_build"),
            models.Index(fields=["-at"], name="move_latest"),
        ]

    def __str__(self) -> str:
        return f"{self.from_state} to {self.to_state}"


class Hold(models.Model):
    """Why a build waits, whose turn it is, when we ask again; now, or only before a stage."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="holds")
    reason = models.CharField(_("reason"), max_length=12, choices=HoldReason)
    turn = models.CharField(_("whose turn"), max_length=10, choices=Turn)
    words = models.CharField(_("what for"), max_length=200)
    # It waits for these parts: they end it as they come.
    line = models.ForeignKey(
        PurchaseLine, null=True, blank=True, on_delete=models.PROTECT, related_name="holds"
    )
    # It waits for this quote or change order: with the answer it is over, by itself.
    quote = models.ForeignKey(
        Quote, null=True, blank=True, on_delete=models.PROTECT, related_name="holds"
    )
    # Empty: it stops the build now.
    before = models.CharField(_("stops"), max_length=10, choices=State, blank=True)
    chase_on = models.DateField(_("ask again on"))
    asked = models.PositiveSmallIntegerField(default=0)  # how often we asked since it began
    since = models.DateTimeField()
    put_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(before="") | Q(before__in=STAGES), name="hold_before_a_stage"
            ),
            models.CheckConstraint(
                condition=Q(reason__in=HoldReason.values), name="hold_reason_known"
            ),
            models.CheckConstraint(condition=Q(turn__in=Turn.values), name="hold_turn_known"),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(ended_at__gte=models.F("since")),
                name="hold_ends_after_it_began",
            ),
        ]
        indexes = [
            models.Index(fields=["build"], name="hold_open", condition=Q(ended_at=None)),
            models.Index(
                fields=["-ended_at"], name="hold_over", condition=Q(ended_at__isnull=False)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reason}: {self.words}"

    @property
    def over_at(self) -> datetime | None:
        """Since when it is over: ended by hand, or by what it waited for. None: it stands."""
        waits = self.quote is not None and self.quote.state in {QuoteState.DRAFT, QuoteState.SENT}
        if self.ended_at or self.quote is None or waits:
            return self.ended_at
        return self.quote.answered_at


class Stretch(models.Model):
    """Time that somebody worked on a build, in one stage of it. Without an end it runs still."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="stretches")
    token = models.UUIDField(unique=True)
    stage = models.CharField(_("stage"), max_length=10, choices=State)
    spent_on = models.CharField(_("spent on"), max_length=10, choices=Spent, default=Spent.WORK)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="stretches"
    )
    begun_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    minutes = models.PositiveIntegerField(_("minutes"), null=True)
    # Somebody said how long it was: it was put right, or typed in without a timer.
    said_at = models.DateTimeField(null=True)
    said_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["by"], condition=Q(ended_at=None), name="stretch_one_runs_a_person"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, minutes=None)
                | Q(ended_at__gte=models.F("begun_at"), minutes__isnull=False),
                name="stretch_ended_has_minutes",
            ),
            models.CheckConstraint(condition=Q(stage__in=ON_THE_RULE), name="stretch_in_a_stage"),
            models.CheckConstraint(
                condition=Q(spent_on__in=Spent.values), name="stretch_spent_on_known"
            ),
            models.CheckConstraint(
                condition=Q(said_at=None, said_by=None)
                | Q(said_at__isnull=False, said_by__isnull=False),
                name="stretch_said_by_someone",
            ),
        ]
        indexes = [
            models.Index(fields=["build", "begun_at"], name="stretch_of_build"),
            models.Index(fields=["by"], name="stretch_runs", condition=Q(ended_at=None)),
        ]

    def __str__(self) -> str:
        return f"{self.build_id}: {self.stage}"
