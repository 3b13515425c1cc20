"""Words of the bench test that know no table."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Read(models.TextChoices):
    """How a line of a sheet is read."""

    FIGURE = "figure", _("a reading with a unit")
    EYE = "eye", _("seen or heard: right or not")
    COUNT = "count", _("so many of so many")
    TIMED = "timed", _("runs for a time")


class Mark(models.TextChoices):
    """Where a limit comes from."""

    PUBLISHED = "published", _("published, the source’s name was not kept")
    COMMON = "common", _("common practice, no source")
    REASONED = "reasoned", _("follows from other figures")
    MEMORY = "memory", _("from memory, unchecked")
    RECKONED = "reckoned", _("reckoned from this build’s own figures")
    SHOP = "shop", _("the shop’s own")


class Wants(models.TextChoices):
    """What a build must contain for a line to stand on its sheet."""

    ANY = "any", _("every build")
    CELL = "cell", _("a cell")
    HILT = "hilt", _("a hilt")
    BLADE = "blade", _("a blade")
    PIXELS = "pixels", _("a pixel blade")
    SPEAKER = "speaker", _("a speaker")
    SWITCH = "switch", _("a switch")
    PORT = "port", _("a charge port")
    CARD = "card", _("a card with slots")
    REMOVABLE = "removable", _("a chassis that comes out")
    ALONE = "alone", _("a blade that comes alone")
    TRIED = "tried", _("a blade alone, tried in its hilt")


class Verdict(models.TextChoices):
    """What the tool says of a reading."""

    PASS = "pass", _("passed")
    TELL = "tell", _("passed: tell the customer")
    FAIL = "fail", _("failed")


class Sheet(models.TextChoices):
    """How much of the template a run asks."""

    FULL = "full", _("full sheet")
    SHORT = "short", _("short sheet, for a repair")
    BLADE = "blade", _("blade’s own sheet")


class Waiting(models.TextChoices):
    """What runs by itself."""

    BURN_IN = "burn-in", _("burn-in")
    REST = "rest", _("rest")
