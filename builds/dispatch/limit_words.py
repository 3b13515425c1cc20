"""The limits of the classing in words, by their codes; knows no table."""

from django.utils.translation import gettext_lazy as _

LIMITS = {
    "ion-cell-wh": _("energy of a cell"),
    "ion-battery-wh": _("energy of a pack"),
    "metal-cell-g": _("lithium in a cell"),
    "metal-battery-g": _("lithium in a pack"),
    "road-ion-cell-wh": _("energy of a cell, on United States roads"),
    "road-ion-battery-wh": _("energy of a pack, on United States roads"),
    "loose-gross-kg": _("gross weight of a package with loose cells"),
    "unmarked-cells": _("cells in the hilt without a mark"),
    "unmarked-batteries": _("packs in the hilt without a mark"),
    "unmarked-packages": _("packages to one consignee without a mark"),
    "mark-side-mm": _("side of the mark, at least"),
    "mark-small-side-mm": _("shorter side of the small mark, at least"),
    "mark-hatching-mm": _("width of its hatching, at least"),
    "air-net-kg": _("cells in a package, by weight"),
    "air-charge-percent": _("charge of cells beside the hilt"),
    "air-charge-from-wh": _("energy under which the charge is free"),
    "air-spares": _("spare cells"),
    "usps-cells": _("cells in a package"),
    "usps-batteries": _("packs in a package"),
    "usps-loose-lb": _("weight of a package with loose cells"),
    "abroad-cells": _("cells in a package"),
    "abroad-batteries": _("packs in a package"),
}
