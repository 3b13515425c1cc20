"""How the shop counts: with tax or without, and what becomes of half a coin."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Prices(models.TextChoices):
    """Whether the shop's prices hold the tax already."""

    WITHOUT_TAX = "without-tax", _("without tax, which comes on top")
    WITH_TAX = "with-tax", _("with tax in them")


class Rounding(models.TextChoices):
    """What becomes of half a coin."""

    HALF_UP = "ROUND_HALF_UP", _("up, away from nothing")
    HALF_EVEN = "ROUND_HALF_EVEN", _("to the even coin")
