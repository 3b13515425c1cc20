"""Kinds of parts, and how their stock is counted."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class PartKind(models.TextChoices):
    """What a part is; the kind decides what its spec asks for."""

    CELL = "cell", _("cell")
    BOARD = "board", _("sound board")
    SPEAKER = "speaker", _("speaker")
    STRIP = "strip", _("strip")
    LED = "led", _("single LED")
    SWITCH = "switch", _("switch")
    ACCENT = "accent", _("accent")
    BLADE = "blade", _("blade")
    PROTECTION = "protection", _("fuse or protection")
    CONNECTOR = "connector", _("connector")
    PORT = "port", _("charge port")
    WIRE = "wire", _("wire")
    SCREW = "screw", _("retention screw")
    CHASSIS = "chassis", _("chassis")
    BOX = "box", _("box")
    OTHER = "other", _("other")


# What a parcel is packed in lies in the stores, and never in a hilt or a kit.
FOR_PACKING = frozenset({PartKind.BOX})
IN_BUILDS = [(kind.value, kind.label) for kind in PartKind if kind not in FOR_PACKING]


class Counted(models.TextChoices):
    """What one of a part is: stock is a whole number of these."""

    PIECE = "piece", _("pieces")
    MM = "mm", _("millimetres")  # wire, strip, tube by length
