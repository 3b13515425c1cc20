"""The models of every room, gathered where Django looks for them."""

from shop.diary.models import Closure, Weekday
from shop.files.models import Blob, Rendition
from shop.history.models import Entry
from shop.house.models import Counter, House
from shop.orders.models import Answer, Enquiry, Item, Order
from shop.people.models import Customer, User
from shop.post.models import Attachment, Message, PrivateLink, Wording
from shop.web.models import Throttle

__all__ = [
    "Answer", "Attachment", "Blob", "Closure", "Counter", "Customer", "Enquiry", "Entry", "House",
    "Item", "Message", "Order", "PrivateLink", "Rendition", "Throttle", "User", "Weekday",
    "Wording",
]  # fmt: skip
