"""Kinds of joints and holes, what is measured, and how it is known."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class JointKind(models.TextChoices):
    """What holds two sections together."""

    THREAD = "thread", _("thread")
    SET_SCREW = "set-screw", _("set screw")
    PRESS = "press", _("press fit")
    GLUED = "glued", _("glued")


class HoleFor(models.TextChoices):
    """What a hole in the wall is for."""

    SWITCH = "switch", _("switch")
    PORT = "port", _("charge port")
    LIGHT = "light", _("light")
    SCREW = "screw", _("screw")


class Basis(models.TextChoices):
    """How a value is known. A measured one counts before a told one, that before a believed one."""

    TOLD = "told", _("told")
    BELIEVED = "believed", _("believed, from a like hilt")
    MEASURED = "measured", _("measured")


class MeasuredThing(models.TextChoices):
    """What was measured: of a section, of the joint behind it, of a hole in its wall."""

    LENGTH = "length", _("length")
    BORE = "bore", _("bore")
    OUTER = "outer", _("outside diameter")
    SOCKET_BORE = "socket-bore", _("socket's bore")
    SOCKET_DEPTH = "socket-depth", _("socket's depth")
    PITCH = "pitch", _("thread's pitch")
    CLOCK = "clock", _("clock position when tight")  # degrees, seen from the blade's end
    DIAMETER = "diameter", _("diameter")
    FROM_FRONT = "from-front", _("from the section's front edge")
    AROUND = "around", _("where around")  # degrees, seen from the blade's end


OF_SECTION = (
    MeasuredThing.LENGTH, MeasuredThing.BORE, MeasuredThing.OUTER, MeasuredThing.SOCKET_BORE,
    MeasuredThing.SOCKET_DEPTH,
)  # fmt: skip
OF_JOINT = (MeasuredThing.PITCH, MeasuredThing.CLOCK)
OF_HOLE = (MeasuredThing.DIAMETER, MeasuredThing.FROM_FRONT, MeasuredThing.AROUND)
IN_DEGREES = (MeasuredThing.CLOCK, MeasuredThing.AROUND)
TWICE = (MeasuredThing.BORE, MeasuredThing.SOCKET_BORE)  # a quarter turn apart
