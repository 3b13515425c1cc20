"""Whether a shop has the parts that most shops have."""

from shop.stores.models import Part
from shop.stores.typical import TYPICAL, Typical


def lacks_typical() -> bool:
    """Whether none of the typical parts is written down."""
    return not Part.objects.filter(is_typical=True).exists()


def missing() -> list[Typical]:
    """Typical parts that no part of the shop is named like, in one query."""
    there = set(Part.objects.values_list("kind", "name_folded"))
    return [each for each in TYPICAL if (each.kind.value, str(each.name).casefold()) not in there]
