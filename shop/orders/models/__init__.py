"""The tables of orders: what was asked for, quoted, agreed, paid and invoiced."""

from shop.orders.models.ordered import (
    Answer,
    AnswerKind,
    Asking,
    Enquiry,
    EnquiryPhoto,
    EnquiryState,
    How,
    Item,
    ItemKind,
    Order,
)
from shop.orders.models.paid import Account, Invoice, Paid, Paper, Payment, Way
from shop.orders.models.quoted import LineOf, Quote, QuoteKind, QuoteLine, QuoteState
from shop.orders.values import Consignee

__all__ = [
    "Account", "Answer", "AnswerKind", "Asking", "Consignee", "Enquiry", "EnquiryPhoto",
    "EnquiryState", "How", "Invoice", "Item", "ItemKind", "LineOf", "Order", "Paid", "Paper",
    "Payment", "Quote", "QuoteKind", "QuoteLine", "QuoteState", "Way",
]  # fmt: skip
