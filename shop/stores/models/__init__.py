"""The tables of stores."""

from shop.stores.models.buying import (
    Claim,
    ClaimState,
    Delivery,
    DeliveryLine,
    Purchase,
    PurchaseLine,
    PurchaseState,
    Supplier,
)
from shop.stores.models.kits import Kit, KitHours, KitLine
from shop.stores.models.parts import Part, Rating
from shop.stores.models.stock import Deed, Reservation, StockLevel, StockRow

__all__ = [
    "Claim", "ClaimState", "Deed", "Delivery", "DeliveryLine", "Kit", "KitHours", "KitLine",
    "Part", "Purchase", "PurchaseLine", "PurchaseState", "Rating", "Reservation", "StockLevel",
    "StockRow", "Supplier",
]  # fmt: skip
