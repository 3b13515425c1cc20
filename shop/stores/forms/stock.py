"""What is done to stock by hand, on the page of a part."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.forms.fields import AmountField, read_amount, token_field
from shop.stores.models import Part
from shop.web.money import MoneyField


class StockForm(forms.Form):
    """So much of a part, and why."""

    least = 1
    token = token_field()
    quantity = AmountField()
    reason = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, part: Part, **kwargs: Any) -> None:
        # Four of these forms stand on one page, so each has ids of its own.
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}_%s")
        super().__init__(*args, **kwargs)
        self.part = part
        self.fields["quantity"].label = (
            _("How many") if part.counted == "piece" else _("How much, in metres")
        )

    def clean_quantity(self) -> int:
        return read_amount(self.cleaned_data["quantity"], self.part, self.least)


class ReceiveForm(StockForm):
    """What came, otherwise than on a purchase order; what one cost, for the owner."""

    def __init__(self, *args: Any, currency: str, costs: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = False
        self.fields["reason"].label = _("From where, or why")
        if costs:
            is_piece = kwargs["part"].counted == "piece"
            label = _("One cost") if is_piece else _("A metre cost")
            self.fields["cost_minor"] = MoneyField(currency=currency, label=label)


class CountForm(StockForm):
    """What was counted on the shelf, against what the page showed."""

    least = 0
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = False


class WriteOffForm(StockForm):
    """What is broken, lost or used up."""


class PutBackForm(StockForm):
    """What was fitted and came out whole."""
