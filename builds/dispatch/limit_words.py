"""The limits and rules of the classing in words, by their codes; knows no table."""

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
    "unmarked-packages": _("packages to one receiver without a mark"),
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

# What stands behind the short name of a rule, as the papers use it.
RULES = {
    "SP 188": _("special provision 188 of ADR, Europe’s road rules: small cells, packed so"),
    "SP 376": _("special provision 376 of ADR, Europe’s road rules: damaged cells"),
    "173.185(c)": _("the United States’ road rules, 49 CFR 173.185 (c): smaller cells"),
    "173.185(f)": _("the United States’ road rules, 49 CFR 173.185 (f): damaged cells"),
    "PI 965 IB": _("packing instruction 965 of the air rules: ion cells by themselves"),
    "PI 966 II": _("packing instruction 966 of the air rules: ion cells beside equipment"),
    "PI 967 II": _("packing instruction 967 of the air rules: ion cells in equipment"),
    "PI 968 IB": _("packing instruction 968 of the air rules: metal cells by themselves"),
    "PI 969 II": _("packing instruction 969 of the air rules: metal cells beside equipment"),
    "PI 970 II": _("packing instruction 970 of the air rules: metal cells in equipment"),
    "349": _("the United States’ post, Publication 52, section 349: lithium cells"),
    "IMM 135.6": _("the United States’ post abroad, manual 135.6: lithium cells"),
}
