"""Reads of orders: lists and answers, quotes, money, papers with numbers, accounts."""

from shop.orders.queries.figures import (
    Figures,
    ceiling_by_rule,
    deposit_by_rule,
    figures,
    rate_of,
    rule_of,
    rush_by_rule,
)
from shop.orders.queries.quoted import (
    Shown,
    agreed,
    answered_on_the_page,
    askings_of,
    consents_on_the_page,
    drafts,
    kit_minutes,
    kit_price,
    kits_to_quote,
    open_quotes,
    part_price,
    parts_to_quote,
    quotes,
    quotes_of,
    quotes_told,
    running_out,
    shown,
    sums_of,
    unanswered,
)
from shop.orders.queries.reading import (
    enquiries,
    enquiry_counts,
    newest_answers,
    orders,
    unanswered_since,
)
from shop.orders.queries.wording import hours, name_of, percent, span, text_of

__all__ = [
    "Figures", "Shown", "agreed", "answered_on_the_page", "askings_of", "ceiling_by_rule",
    "consents_on_the_page", "deposit_by_rule", "drafts", "enquiries", "enquiry_counts",
    "figures", "hours", "kit_minutes", "kit_price", "kits_to_quote", "name_of",
    "newest_answers", "open_quotes", "orders", "part_price", "parts_to_quote", "percent",
    "quotes", "quotes_of", "quotes_told", "rate_of", "rule_of", "running_out", "rush_by_rule",
    "shown", "span", "sums_of", "text_of", "unanswered", "unanswered_since",
]  # fmt: skip
