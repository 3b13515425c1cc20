"""Words of the hand-over that know no table."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Being(models.TextChoices):
    """What the hilt is doing when a gesture is made."""

    ASLEEP = "asleep", _("asleep")
    OFF = "off", _("off")
    ON = "on", _("on")
    MENU = "menu", _("in a menu")
    EFFECT = "effect", _("in an effect")
    CHARGING = "charging", _("charging")
    LOW = "low", _("battery low")
    HUNG = "hung", _("hung")


class Type(models.TextChoices):
    """The size of the type in a booklet."""

    USUAL = "usual", _("usual type")
    LARGE = "large", _("large type")


class Covered(models.TextChoices):
    """Whether the warranty covers what came back."""

    COVERED = "covered", _("covered")
    NOT_COVERED = "not-covered", _("not covered")
    GOODWILL = "goodwill", _("goodwill")


class Pays(models.TextChoices):
    """Who pays the carriage."""

    SHOP = "shop", _("the shop")
    CUSTOMER = "customer", _("the customer")
    BOTH = "both", _("each one way")


class CellNow(models.TextChoices):
    """How the cell of a hilt is that is announced back, as its owner sees it."""

    FINE = "fine", _("looks as it always did")
    HARMED = "harmed", _("swollen, dented, torn, leaking, or was hot")
    UNKNOWN = "unknown", _("cannot be seen")


class Start(models.TextChoices):
    """How the parts of an earlier build are taken over."""

    STAYS = "stays", _("they are in the hilt and stay in it")
    ANEW = "anew", _("they are to be fitted anew")
