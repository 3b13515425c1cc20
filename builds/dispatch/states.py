"""Words of parcels that know no table."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from builds.engineering import lithium


class Mode(models.TextChoices):
    """By which way a service travels, as the rules of carriage name the ways."""

    US_GROUND = lithium.Mode.US_GROUND.value, _("road or rail, United States")
    ADR_ROAD = lithium.Mode.ADR_ROAD.value, _("road, Europe (ADR)")
    AIR = lithium.Mode.AIR.value, _("air")
    USPS_DOMESTIC_SURFACE = (
        lithium.Mode.USPS_DOMESTIC_SURFACE.value,
        _("United States post, by surface"),
    )
    USPS_DOMESTIC_AIR = lithium.Mode.USPS_DOMESTIC_AIR.value, _("United States post, by air")
    USPS_ABROAD = lithium.Mode.USPS_ABROAD.value, _("United States post, abroad")


class Sides(models.TextChoices):
    """The units in which a carrier reckons the dimensional weight."""

    CM_KG = "cm-kg", _("centimetres and kilograms")
    IN_LB = "in-lb", _("inches and pounds")


class Insured(models.TextChoices):
    """Who bears the loss when a parcel is lost or broken on the way."""

    CARRIER = "carrier", _("the carrier")
    SHOP = "shop", _("the shop’s own insurance")
    CUSTOMER = "customer", _("the customer")
    NOBODY = "nobody", _("nobody: told and agreed")


class Stowage(models.TextChoices):
    """Where the cells of a hilt are on the way."""

    INSTALLED = lithium.Carried.INSTALLED.value, _("in the hilt")
    PACKED_WITH = lithium.Carried.PACKED_WITH.value, _("beside the hilt, in the same parcel")
    LOOSE = lithium.Carried.LOOSE.value, _("without the hilt that it runs")
    LEFT_OUT = "left-out", _("leaves without a cell")


class Terminals(models.TextChoices):
    """How the ends of a cell are safe from a short on the way."""

    HOLDER = "holder", _("in its holder, isolated by switch or key")
    CAPS = "caps", _("caps on both ends")
    TAPE = "tape", _("both ends taped")
    CASE = "case", _("in a case of its own")


class Chemistry(models.TextChoices):
    """What is in a cell."""

    ION = lithium.Chemistry.ION.value, _("lithium ion (rechargeable)")
    METAL = lithium.Chemistry.METAL.value, _("lithium metal (not rechargeable)")
    NONE = lithium.Chemistry.NONE.value, _("no lithium")


class CellUnit(models.TextChoices):
    """What counts as one. A single cell stays a cell with a protection board on it."""

    CELL = lithium.Unit.CELL.value, _("single cell")
    BATTERY = lithium.Unit.BATTERY.value, _("pack of joined cells")
    BUTTON = lithium.Unit.BUTTON.value, _("button cell")


# What no rule of a carrier's own overrides: a damaged cell, and what is simply not known.
NEVER_BY_RULE = ("damaged", "damaged-road")
