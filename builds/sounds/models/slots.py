"""Slots of a build's card, and the cap on its blade's brightness."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from builds.sounds.models.sets import SoundSet


class Look(models.TextChoices):
    """How the blade burns in a slot: what share of its light a look needs, see queries."""

    STEADY = "steady", _("steady")
    PULSING = "pulsing", _("pulsing")
    FLICKERING = "flickering", _("flickering")
    RUNNING = "running", _("running along the blade")


class Slot(models.Model):
    """A place on the card: a name, a colour, a look."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="slots")
    place = models.PositiveSmallIntegerField(_("place on the card"))
    name = models.CharField(_("name"), max_length=60)
    colour = models.CharField(
        _("colour"),
        max_length=7,
        validators=[RegexValidator("^#[0-9a-f]{6}$", _("A colour looks like #1b4c99."))],
    )
    look = models.CharField(_("look"), max_length=12, choices=Look, default=Look.STEADY)
    sound_set = models.ForeignKey(
        SoundSet, null=True, blank=True, on_delete=models.PROTECT, related_name="slots"
    )
    music = models.CharField(_("music"), max_length=120, blank=True)
    # Looked at and listened to on the actual unit.
    verified_at = models.DateTimeField(null=True)
    verified_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["place", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["build", "place"], condition=Q(ended_at=None), name="slot_one_a_place"
            ),
            models.CheckConstraint(
                condition=Q(verified_at=None, verified_by=None)
                | Q(verified_at__isnull=False, verified_by__isnull=False),
                name="slot_verified_by_someone",
            ),
            models.CheckConstraint(condition=Q(look__in=Look.values), name="slot_look_known"),
        ]

    def __str__(self) -> str:
        return self.name


class Brightness(models.Model):
    """How bright the blade of a build may be at most, set on its board."""

    build = models.OneToOneField(Build, on_delete=models.PROTECT, related_name="brightness")
    percent = models.PositiveSmallIntegerField(
        _("brightness cap, %"),
        default=100,
        validators=[MinValueValidator(5), MaxValueValidator(100)],
    )

    class Meta:
        verbose_name_plural = "brightness"
        constraints = [
            models.CheckConstraint(
                condition=Q(percent__gte=5, percent__lte=100), name="brightness_in_percent"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.percent} %"
