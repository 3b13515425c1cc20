"""What is done to stock by hand, on the page of a part."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.actions.stock import MOST
from shop.stores.models import Part
from shop.web.money import MoneyField


class StockForm(forms.Form):
    """So much of a part, and why."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    quantity = forms.IntegerField(min_value=1, max_value=MOST)
    reason = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, part: Part, **kwargs: Any) -> None:
        # Four of these forms stand on one page, so each has ids of its own.
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}_%s")
        super().__init__(*args, **kwargs)
        self.fields["quantity"].label = (
            _("How many") if part.counted == "piece" else _("How much, in mm")
        )


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

    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = False
        label = self.fields["quantity"].label
        self.fields["quantity"] = forms.IntegerField(label=label, min_value=0, max_value=MOST)


class WriteOffForm(StockForm):
    """What is broken, lost or used up."""


class PutBackForm(StockForm):
    """What was fitted and came out whole."""
