"""Reads of orders: lists and answers, quotes, money, papers with numbers, accounts."""

from shop.orders.queries.reading import (
    enquiries,
    enquiry_counts,
    newest_answers,
    orders,
    unanswered_since,
)

__all__ = ["enquiries", "enquiry_counts", "newest_answers", "orders", "unanswered_since"]
