"""Deeds on orders: placing them and answers, quotes, payments, papers with numbers, accounts."""

from shop.orders.actions.placing import (
    SECOND_TAP,
    add_item,
    change_order,
    place_order,
    record_answer,
)

__all__ = ["SECOND_TAP", "add_item", "change_order", "place_order", "record_answer"]
