"""What changes the stores: parts, their stock, what is bought; and what is refused."""

from shop.stores.refusals import Overtaken, Refused, Short

__all__ = ["Overtaken", "Refused", "Short"]
