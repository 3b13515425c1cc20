"""Kits: a recipe of parts and hours that the shop defines for a job it does often."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from shop.stores.models.parts import Part


class Kit(models.Model):
    """A recipe: these parts, these hours."""

    name = models.CharField(_("kit"), max_length=60, unique=True)
    note = models.TextField(_("note"), blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def about(self) -> str:
        """The key under which history knows this kit."""
        return f"kit:{self.pk}"


class KitLine(models.Model):
    """So much of a part in a kit."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="lines")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="kit_lines")
    quantity = models.PositiveIntegerField(_("how many"), default=1)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="kit_line_of_some"),
            models.UniqueConstraint(fields=["kit", "part"], name="kit_line_once_a_part"),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} in {self.kit_id}"


class KitHours(models.Model):
    """Minutes that a kit takes at one stage: a guess of the shop's, shown as one."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="hours")
    stage = models.CharField(max_length=10)  # a stage's code; stores knows no builds
    minutes = models.PositiveIntegerField(_("minutes"))

    class Meta:
        verbose_name_plural = "kit hours"
        constraints = [
            models.UniqueConstraint(fields=["kit", "stage"], name="kit_hours_once_a_stage")
        ]

    def __str__(self) -> str:
        return f"{self.minutes} min of {self.stage}"
