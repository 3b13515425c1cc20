"""The models of every room, gathered where Django looks for them."""

from shop.diary.models import Closure, Weekday
from shop.files.models import Blob, Rendition
from shop.history.models import Entry
from shop.house.models import Counter, House
from shop.orders.models import Answer, Enquiry, Item, Order
from shop.people.models import Customer, User
from shop.post.models import Attachment, Message, PrivateLink, Wording
from shop.stores.models import (
    Claim,
    Delivery,
    DeliveryLine,
    Kit,
    KitHours,
    KitLine,
    Part,
    Purchase,
    PurchaseLine,
    Rating,
    Reservation,
    StockLevel,
    StockRow,
    Supplier,
)
from shop.web.models import Throttle

__all__ = [
    "Answer", "Attachment", "Blob", "Claim", "Closure", "Counter", "Customer", "Delivery",
    "DeliveryLine", "Enquiry", "Entry", "House", "Item", "Kit", "KitHours", "KitLine", "Message",
    "Order", "Part", "PrivateLink", "Purchase", "PurchaseLine", "Rating", "Rendition",
    "Reservation", "StockLevel", "StockRow", "Supplier", "Throttle", "User", "Weekday", "Wording",
]  # fmt: skip
