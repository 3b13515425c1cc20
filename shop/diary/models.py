"""The shop's week and the days on which it is closed."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _


class Weekday(models.Model):
    """One day of the week: when the shop works, and whether parcels leave. Monday is 0."""

    weekday = models.PositiveSmallIntegerField(unique=True)
    opens = models.TimeField(_("opens"), null=True, blank=True)
    closes = models.TimeField(_("closes"), null=True, blank=True)
    dispatches = models.BooleanField(_("dispatch day"), default=False)

    class Meta:
        ordering = ["weekday"]
        constraints = [
            models.CheckConstraint(condition=Q(weekday__lte=6), name="weekday_in_week"),
            models.CheckConstraint(
                condition=Q(opens=None, closes=None) | Q(opens__lt=F("closes")),
                name="weekday_opens_before_closing",
            ),
        ]

    def __str__(self) -> str:
        return str(self.weekday)


class Closure(models.Model):
    """Days on which the shop is closed, both ends included."""

    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))
    reason = models.CharField(_("reason"), max_length=80, blank=True)

    class Meta:
        ordering = ["first"]
        constraints = [
            models.CheckConstraint(condition=Q(first__lte=F("last")), name="closure_in_order")
        ]

    def __str__(self) -> str:
        return f"{self.first} to {self.last}"


class OwnDay(models.Model):
    """When somebody works on a weekday, who keeps other hours than the shop's."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="own_days"
    )
    weekday = models.PositiveSmallIntegerField()
    opens = models.TimeField(_("from"))
    closes = models.TimeField(_("to"))

    class Meta:
        ordering = ["weekday"]
        constraints = [
            models.UniqueConstraint(fields=["person", "weekday"], name="own_day_once"),
            models.CheckConstraint(condition=Q(weekday__lte=6), name="own_day_in_week"),
            models.CheckConstraint(condition=Q(opens__lt=F("closes")), name="own_day_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.weekday}: {self.opens} to {self.closes}"


class DayOff(models.Model):
    """Days on which somebody does not work, both ends included."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="days_off"
    )
    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))

    class Meta:
        ordering = ["first"]
        constraints = [
            models.CheckConstraint(condition=Q(first__lte=F("last")), name="day_off_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.first} to {self.last}"


class ExtraDay(models.Model):
    """A day that somebody works though the week, a closure or a holiday has it off."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="extra_days"
    )
    day = models.DateField(_("day"))
    opens = models.TimeField(_("from"))
    closes = models.TimeField(_("to"))

    class Meta:
        ordering = ["day"]
        constraints = [
            models.UniqueConstraint(fields=["person", "day"], name="extra_day_once"),
            models.CheckConstraint(condition=Q(opens__lt=F("closes")), name="extra_day_in_order"),
        ]

    def __str__(self) -> str:
        return str(self.day)
