"""Promises, the line in which builds are taken, and the forecast of their dates."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from builds.progress.states import ON_THE_RULE, State
from builds.queue.states import Remedy, percent


class Promise(models.Model):
    """A day told to the customer. Append-only by trigger; the newest is the promise."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="promises")
    day = models.DateField()
    reason = models.CharField(max_length=200, blank=True)
    # What the forecast of that moment gave the day, from 0 to 1. Empty: there was none.
    odds = models.FloatField(null=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["build", "-at", "-id"], name="promise_latest")]
        constraints = [
            models.CheckConstraint(
                condition=Q(odds=None) | Q(odds__gte=0, odds__lte=1), name="promise_odds_a_share"
            )
        ]

    def __str__(self) -> str:
        return str(self.day)

    @property
    def percent(self) -> int | None:
        """How sure it was said to be, in percent; None where nothing could be said."""
        return None if self.odds is None else percent(self.odds)


class LinePlace(models.Model):
    """Where a build stands in the line, once the shop has moved something in it.

    Builds without a place stand after those with one, in the order of their numbers.
    """

    build = models.OneToOneField(Build, on_delete=models.CASCADE, related_name="line_place")
    place = models.PositiveIntegerField()

    class Meta:
        ordering = ["place", "build"]

    def __str__(self) -> str:
        return str(self.place)


class StageLimit(models.Model):
    """How many builds may be started in a stage at a time; without a row, any number."""

    stage = models.CharField(_("stage"), max_length=10, choices=State, unique=True)
    most = models.PositiveSmallIntegerField(_("at most"))

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(stage__in=ON_THE_RULE), name="stage_limit_of_a_stage"
            ),
            models.CheckConstraint(condition=Q(most__gte=1), name="stage_limit_of_some"),
        ]

    def __str__(self) -> str:
        return f"{self.stage}: {self.most}"


class Outcome(models.Model):
    """How a promise ended, once its build left finished. Append-only by trigger."""

    promise = models.OneToOneField(Promise, on_delete=models.PROTECT, related_name="outcome")
    due = models.DateField()  # the day told, moved by the customer's own waiting since
    left_on = models.DateField()  # collected: the day from which it stood ready for that
    is_first = models.BooleanField()  # the day that was told first of this build
    is_last = models.BooleanField()  # the day that stood as it left
    # Later than the day that stood before it, with what the customer had kept us waiting; first: 0.
    moved_days = models.IntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["left_on"], name="outcome_by_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(is_first=False) | Q(moved_days=0), name="outcome_first_moved_nothing"
            )
        ]

    def __str__(self) -> str:
        return f"{self.due}: {self.left_on}"


class Alarm(models.Model):
    """That the odds of a promise fell under the shop's limit. It is told of once."""

    promise = models.ForeignKey(Promise, on_delete=models.CASCADE, related_name="alarms")
    fell_at = models.DateTimeField()
    over_at = models.DateTimeField(null=True)  # well over the limit again; the next fall is news

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["promise"], condition=Q(over_at=None), name="alarm_one_a_promise"
            )
        ]

    def __str__(self) -> str:
        return f"{self.promise_id}: {self.fell_at}"


class Reckoning(models.Model):
    """One run of the forecast over the whole queue. A page reads the newest one and no other."""

    made_at = models.DateTimeField()
    # Of all that went in, without the passing of time: equal marks would give equal dates.
    mark = models.CharField(max_length=64)
    runs = models.PositiveIntegerField()
    took_ms = models.PositiveIntegerField()

    class Meta:
        get_latest_by = ["made_at", "pk"]

    def __str__(self) -> str:
        return str(self.made_at)


class Outlook(models.Model):
    """What one run of the forecast says of one build."""

    reckoning = models.ForeignKey(Reckoning, on_delete=models.CASCADE, related_name="outlooks")
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="outlooks")
    place = models.PositiveIntegerField()  # in the line, from 1
    # Dispatch days by which it leaves with these odds. Empty: beyond what can be seen.
    day_50 = models.DateField(null=True)
    day_80 = models.DateField(null=True)
    day_95 = models.DateField(null=True)
    # Minutes from the run until it is finished, at every fortieth of the odds; null: out of sight.
    moments = models.JSONField(default=list)
    odds = models.FloatField(null=True)  # of the day that is due
    due = models.DateField(null=True)  # the day for which the odds are
    waits_h = models.JSONField(default=dict)  # what it waits for: hours on average
    drives = models.CharField(max_length=40, blank=True)  # the longest of these
    behind = models.PositiveIntegerField(default=0)  # finished builds of its kind behind the hours
    # Of a promise in danger: the cheapest thing that helps, with what, and the odds that it gives.
    remedy = models.CharField(max_length=10, choices=Remedy, blank=True)
    remedy_with = models.JSONField(default=dict)
    remedy_odds = models.FloatField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["reckoning", "build"], name="outlook_one_a_build"),
            models.CheckConstraint(
                condition=Q(odds=None, due=None) | Q(odds__gte=0, odds__lte=1, due__isnull=False),
                name="outlook_odds_of_a_day",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.build_id}: {self.day_80}"
