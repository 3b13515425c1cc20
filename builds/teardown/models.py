"""What was taken out, what was tried on a joint, how deep the blade was tried."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.hilts.models import Joint, Step
from builds.progress.models import Build

_STAFF = settings.AUTH_USER_MODEL


class Inside(models.TextChoices):
    """What must be out before any heat."""

    CELL = "cell", _("cell")
    ELECTRONICS = "electronics", _("electronics")


class TakenOut(models.Model):
    """That the cell or the electronics are out, or back in. Append-only; the newest counts."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="taken_out")
    what = models.CharField(max_length=12, choices=Inside)
    is_out = models.BooleanField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(what__in=Inside.values), name="taken_out_known"),
        ]
        indexes = [models.Index(fields=["build", "what", "-at"], name="taken_out_latest")]

    def __str__(self) -> str:
        return f"{self.what} {'out' if self.is_out else 'in'}"


class Means(models.TextChoices):
    """What was tried on a joint."""

    HANDS = "hands", _("by hand, strap or jaws")
    HEAT = "heat", _("heat")
    SOLVENT = "solvent", _("solvent")
    DRILL = "drill", _("drilled or turned")
    OTHER = "other", _("something else")


class Came(models.TextChoices):
    """How an attempt ended."""

    LOOSE = "loose", _("came loose")
    HOLDS = "holds", _("holds still")
    STOPPED = "stopped", _("stopped: the limit is reached")


class Attempt(models.Model):
    """One attempt on a stuck joint. Append-only by trigger."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="attempts")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="attempts")
    means = models.CharField(_("tried"), max_length=10, choices=Means)
    minutes = models.PositiveSmallIntegerField(_("minutes"))
    celsius = models.PositiveSmallIntegerField(_("how hot, °C"), null=True, blank=True)
    came = models.CharField(_("how it ended"), max_length=10, choices=Came)
    words = models.CharField(_("in words"), max_length=200, blank=True)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(means__in=Means.values), name="attempt_means_known"),
            models.CheckConstraint(condition=Q(came__in=Came.values), name="attempt_came_known"),
            models.CheckConstraint(
                condition=Q(celsius=None) | Q(means="heat"), name="attempt_heat_has_degrees"
            ),
            models.CheckConstraint(
                condition=Q(minutes__gte=1, minutes__lte=600), name="attempt_takes_minutes"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.means}, {self.minutes} min: {self.came}"


class StepDone(models.Model):
    """That a step of taking apart was done on this build, or undone. Append-only; newest counts."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="steps_done")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="done")
    is_off = models.BooleanField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        indexes = [models.Index(fields=["build", "step", "-at"], name="step_done_latest")]

    def __str__(self) -> str:
        return f"{self.step_id} {'off' if self.is_off else 'on'}"


class DepthTried(models.Model):
    """How deep a blade went in, tried with a stub tube. Append-only; the newest counts."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="depths_tried")
    depth_mm = models.FloatField()
    as_typed = models.CharField(max_length=40)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(depth_mm__gte=0), name="depth_tried_not_negative"),
        ]

    def __str__(self) -> str:
        return self.as_typed
