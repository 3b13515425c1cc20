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


# A service of the usual ones, until somebody names its carrier.
YOUR_CARRIER = _("your carrier")


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


class Class(models.TextChoices):
    """What the classing says of a parcel."""

    ALLOWED = "allowed", _("allowed")
    NOTHING = "nothing", _("no lithium in it")
    BY_RULE = "by-rule", _("allowed by the carrier’s own rule")
    MISSING = "missing", _("something is missing")
    REFUSED = "refused", _("refused")


# What no rule of a carrier's own overrides: a damaged cell, and what is simply not known.
NEVER_BY_RULE = ("damaged", "damaged-road")

# Reasons of a refusal that a carrier's own written rule may answer, as they are chosen.
RULE_CODES = {
    "too-large": _("cells or packs over the usual limit of energy"),
    "loose-heavy": _("loose cells in a heavier package"),
    "loose-by-air": _("loose cells by air"),
    "air-heavy": _("more than 5 kg of cells in a package by air"),
    "air-charged": _("cells beside the hilt, charged above 30 %, by air"),
    "air-too-many": _("more spare cells beside the hilt, by air"),
    "too-many": _("more cells or packs in a package"),
    "surface-only": _("loose cells, by air post"),
    "used-surface-only": _("used or repaired equipment, by air post"),
    "used-never-abroad": _("used or repaired equipment, by post abroad"),
    "installed-only": _("cells that are not in the hilt, by post abroad"),
    "packages-abroad": _("more than two packages to one receiver, by post abroad"),
}
