"""Deeds on orders: placing them and answers, quotes, payments, papers with numbers, accounts."""

from shop.orders.actions.asking import (
    CONSENTS,
    answer_asking,
    ask_consent,
    take_back_asking,
)
from shop.orders.actions.placing import (
    SECOND_TAP,
    add_item,
    change_order,
    drop_item,
    place_order,
    record_answer,
    take_up_item,
    tie_goods,
)
from shop.orders.actions.quoting import (
    LineFacts,
    answer_quote,
    draft_quote,
    quote_seen,
    revise_quote,
    save_draft,
    send_quote,
    withdraw_quote,
)
from shop.orders.refusals import Overtaken, Refused, refuse_card_numbers

__all__ = [
    "CONSENTS", "SECOND_TAP", "LineFacts", "Overtaken", "Refused", "add_item", "answer_asking",
    "answer_quote", "ask_consent", "change_order", "draft_quote", "drop_item", "place_order",
    "quote_seen", "record_answer", "refuse_card_numbers", "revise_quote", "save_draft",
    "send_quote", "take_back_asking", "take_up_item", "tie_goods", "withdraw_quote",
]  # fmt: skip
