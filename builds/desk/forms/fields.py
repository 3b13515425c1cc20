"""Fields that several forms of the desk share."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.orders.models import How
from shop.web.widgets import Day

# What a member of staff writes down was said to them; the customer's page records its own.
SAID_HOW = [choice for choice in How.choices if choice[0] != How.PAGE]


def day_field(label: Any, help_text: Any = "") -> forms.DateField:
    """A day that may be left open."""
    return forms.DateField(
        label=label,
        required=False,
        help_text=help_text,
        widget=Day,
        error_messages={"invalid": _("That is not a day. Write it as 2026-12-14.")},
    )


def text_field(label: Any, rows: int, help_text: Any = "", **more: Any) -> forms.CharField:
    """Several lines of plain text."""
    return forms.CharField(
        label=label, help_text=help_text, widget=forms.Textarea(attrs={"rows": rows}), **more
    )


def token_field() -> forms.UUIDField:
    """Names one filling-in of a form, so that a double tap is one deed."""
    return forms.UUIDField(widget=forms.HiddenInput)
