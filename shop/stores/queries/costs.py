"""What parts cost, by the price that stands with them: the owner's alone to see."""

from shop.stores.models import Part
from shop.stores.queries.buying import per_of
from shop.web.money import times


def cost_of(part: Part, quantity: int) -> int | None:
    """What so much of a part costs in minor units; None where nobody has said a price."""
    if part.cost_minor is None:
        return None
    return times(part.cost_minor, quantity, per_of(part))
