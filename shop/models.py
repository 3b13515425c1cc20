"""The models of every room, gathered where Django looks for them."""

from shop.diary.models import Closure, DayOff, ExtraDay, OwnDay, Weekday
from shop.files.models import Blob, Rendition, Upload
from shop.history.models import Entry
from shop.house.models import Counter, House
from shop.keeping.models import Backup, Export
from shop.later.models import Deed
from shop.orders.models import (
    Account,
    Answer,
    Asking,
    Enquiry,
    EnquiryPhoto,
    Invoice,
    Item,
    Order,
    Payment,
    Quote,
    QuoteLine,
)
from shop.people.models import AppCode, Customer, Passkey, RecoveryCode, Session, User
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
    "Account", "Answer", "AppCode", "Asking", "Attachment", "Backup", "Blob", "Claim", "Closure",
    "Counter", "Customer", "DayOff", "Deed", "Delivery", "DeliveryLine", "Enquiry", "EnquiryPhoto",
    "Entry", "Export", "ExtraDay", "House", "Invoice", "Item", "Kit", "KitHours", "KitLine",
    "Message", "Order", "OwnDay", "Part", "Passkey", "Payment", "PrivateLink", "Purchase",
    "PurchaseLine", "Quote", "QuoteLine", "Rating", "RecoveryCode", "Rendition", "Reservation",
    "Session", "StockLevel", "StockRow", "Supplier", "Throttle", "Upload", "User",
    "Weekday", "Wording",
]  # fmt: skip
