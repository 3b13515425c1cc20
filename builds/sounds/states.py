"""Words of sounds that know no table."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Licence(models.TextChoices):
    """For whose builds a sound set may be used."""

    ONE_BUYER = "one-buyer", _("one customer’s own, for that customer alone")
    ANYONE = "anyone", _("the shop may fit it for anyone")
    OWN = "own", _("the shop’s own work")


class SetState(models.TextChoices):
    """How far the worker is with a sound set."""

    KEPT = "kept", _("waits to be looked at")
    LOOKING = "looking", _("is being looked at")
    LOOKED = "looked", _("looked at")
    FAILED = "failed", _("could not be read")


class KeptKind(models.TextChoices):
    """What is kept so that a dead card can be made again."""

    IMAGE = "image", _("image of the finished card")
    SETTINGS = "settings", _("the board’s settings file")
    FIRMWARE = "firmware", _("firmware")
    OTHER = "other", _("something else")
