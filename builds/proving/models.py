"""Sheets of the bench test, their lines, readings that only grow, rework, timers."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from builds.progress.states import State
from builds.proving.states import Mark, Read, Sheet, Verdict, Waiting, Wants

_STAFF = settings.AUTH_USER_MODEL


class SheetLine(models.Model):
    """A line of the shop's template: what is tested, how, and within which limits.

    ``reckons`` names the sum that gives the limit where the build has the figures for it.
    """

    code = models.SlugField(max_length=30, unique=True)
    position = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(_("test"), max_length=80)
    how = models.CharField(_("how"), max_length=200, blank=True)
    caution = models.CharField(_("caution"), max_length=200, blank=True)
    read = models.CharField(_("is read"), max_length=8, choices=Read)
    unit = models.CharField(_("unit"), max_length=10, blank=True)
    low = models.FloatField(_("at least"), null=True, blank=True)
    high = models.FloatField(_("at most"), null=True, blank=True)
    # Between ``high`` and this the build passes and its owner is told.
    high_told = models.FloatField(_("told, at most"), null=True, blank=True)
    times = models.PositiveSmallIntegerField(_("how many times"), null=True, blank=True)
    minutes = models.PositiveIntegerField(_("minutes"), null=True, blank=True)
    reckons = models.CharField(max_length=30, blank=True)
    mark = models.CharField(_("limit comes from"), max_length=10, choices=Mark, default=Mark.SHOP)
    wants = models.CharField(_("asked of builds with"), max_length=10, choices=Wants)
    in_short = models.BooleanField(_("on the short sheet too"), default=False)
    in_blade = models.BooleanField(_("on a blade’s own sheet"), default=False)
    # A code of a line that must have passed before this one may be tried: retention before a swing.
    only_after = models.SlugField(max_length=30, blank=True)
    never_pass = models.BooleanField(_("nobody may pass it"), default=False)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(read__in=Read.values, mark__in=Mark.values, wants__in=Wants.values),
                name="sheet_line_words_known",
            ),
            models.CheckConstraint(
                condition=Q(low=None) | Q(high=None) | Q(low__lte=F("high")),
                name="sheet_line_low_is_not_above_high",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Run(models.Model):
    """One go through the sheet of a build. The newest one counts."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="runs")
    number = models.PositiveSmallIntegerField()
    sheet = models.CharField(max_length=6, choices=Sheet)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["build", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["build", "number"], name="run_number_once"),
            models.CheckConstraint(condition=Q(sheet__in=Sheet.values), name="run_sheet_known"),
        ]

    def __str__(self) -> str:
        return f"run {self.number} of {self.build_id}"


class RunLine(models.Model):
    """A line as this run asks it, its limits as they were reckoned. Append-only by trigger."""

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="lines")
    code = models.SlugField(max_length=30)
    position = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(max_length=80)
    how = models.CharField(max_length=200, blank=True)
    caution = models.CharField(max_length=200, blank=True)
    read = models.CharField(max_length=8, choices=Read)
    unit = models.CharField(max_length=10, blank=True)
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    high_told = models.FloatField(null=True)
    times = models.PositiveSmallIntegerField(null=True)
    minutes = models.PositiveIntegerField(null=True)
    mark = models.CharField(max_length=10, choices=Mark)
    because = models.CharField(max_length=300, blank=True)  # the sum behind a reckoned limit
    only_after = models.SlugField(max_length=30, blank=True)
    never_pass = models.BooleanField(default=False)

    class Meta:
        ordering = ["run", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["run", "code"], name="run_line_once"),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.run_id}"


class Instrument(models.Model):
    """What readings are taken with."""

    name = models.CharField(_("instrument"), max_length=60, unique=True)
    checked_on = models.DateField(_("last checked"), null=True, blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Rework(models.Model):
    """Why a line failed and what was done about it. Append-only by trigger."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="reworks")
    found_in = models.CharField(_("found in"), max_length=10, choices=State)
    caused_in = models.CharField(_("caused in"), max_length=10, choices=State)
    cause = models.CharField(_("cause"), max_length=200)
    minutes = models.PositiveIntegerField(_("minutes"), default=0)
    # The reading that failed: a failed line is read anew only when somebody said what was done.
    failed = models.OneToOneField(
        "Reading", null=True, on_delete=models.PROTECT, related_name="put_right"
    )
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(found_in__in=State.values, caused_in__in=State.values) & ~Q(cause=""),
                name="rework_says_where_and_why",
            ),
        ]

    def __str__(self) -> str:
        return self.cause[:40]


class Reading(models.Model):
    """One reading of one line. A fail is never overwritten: a re-test is the next row.

    Append-only by trigger; the newest of a line counts.
    """

    token = models.UUIDField(unique=True)
    line = models.ForeignKey(RunLine, on_delete=models.PROTECT, related_name="readings")
    value = models.FloatField(null=True)
    as_typed = models.CharField(max_length=30, blank=True)
    verdict = models.CharField(max_length=4, choices=Verdict)
    instrument = models.ForeignKey(
        Instrument, null=True, on_delete=models.PROTECT, related_name="readings"
    )
    note = models.CharField(max_length=200, blank=True)
    rework = models.ForeignKey(Rework, null=True, on_delete=models.PROTECT, related_name="readings")
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["line", "-at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(verdict__in=Verdict.values), name="reading_verdict_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.as_typed or self.verdict}"


class LineLetBy(models.Model):
    """A line that the owner lets by in one run, with a reason. Append-only by trigger."""

    line = models.OneToOneField(RunLine, on_delete=models.PROTECT, related_name="let_by")
    reason = models.CharField(_("why"), max_length=200)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="line_let_by_says_why"),
        ]

    def __str__(self) -> str:
        return self.reason[:40]


class Timer(models.Model):
    """A burn-in or a rest under way: it runs whether or not anybody looks."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="timers")
    what = models.CharField(max_length=8, choices=Waiting)
    minutes = models.PositiveIntegerField()
    millivolts_before = models.PositiveIntegerField(null=True, blank=True)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    stopped_at = models.DateTimeField(null=True)
    told_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-begun_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(what__in=Waiting.values, minutes__gte=1), name="timer_of_some_time"
            ),
            models.UniqueConstraint(
                fields=["build", "what"],
                condition=Q(stopped_at=None),
                name="timer_one_of_a_kind",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.what} of {self.build_id}"

    @property
    def over_at(self) -> datetime:
        """When it has run its time."""
        return self.begun_at + timedelta(minutes=self.minutes)

    @property
    def is_cut_short(self) -> bool:
        """Whether somebody stopped it before its time: it says nothing then."""
        return self.stopped_at is not None and self.stopped_at < self.over_at

    def has_run(self, now: datetime) -> bool:
        """Whether it ran its whole time."""
        return not self.is_cut_short and self.over_at <= now
