"""Forms of an order's money: what came, what goes back, what is given up, what was a mistake."""

from datetime import date
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import token_field
from shop.orders.models import Item, Paid, Way
from shop.web.money import MoneyField
from shop.web.widgets import Day

CAME = [(Paid.DEPOSIT, _("deposit")), (Paid.PAYMENT, _("payment"))]
NO_DAY = {"invalid": _("That is not a day. Write it as 2026-12-14.")}


class _SumForm(forms.Form):
    """A sum, once for its token."""

    token = token_field()

    def __init__(self, *args: Any, currency: str, amount: int | None = None, **kwargs: Any) -> None:
        kwargs["initial"] = {
            "token": uuid4(),
            "amount": amount or None,
            **kwargs.get("initial", {}),
        }
        super().__init__(*args, **kwargs)
        self.fields["amount"] = MoneyField(
            currency=currency,
            label=_("Sum, %s") % currency,
            required=True,
            error_messages={"required": _("How much?")},
        )
        self.order_fields(["token", "kind", "amount"])


class PaidForm(_SumForm):
    """Money that came."""

    kind = forms.ChoiceField(label=_("What it is"), choices=CAME, widget=forms.RadioSelect)
    way = forms.ChoiceField(label=_("How"), choices=Way.choices)
    paid_on = forms.DateField(label=_("On"), widget=Day, error_messages=NO_DAY)
    reference = forms.CharField(
        label=_("Reference"),
        required=False,
        max_length=120,
        help_text=_("As it stands on the statement. Never a card's number."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, deposit_due: int, due: int, today: date, **kwargs: Any) -> None:
        kind = Paid.DEPOSIT if deposit_due else Paid.PAYMENT
        kwargs["initial"] = {"kind": kind, "way": Way.TRANSFER, "paid_on": today}
        super().__init__(*args, amount=deposit_due or due, **kwargs)

    def row(self) -> dict[str, Any]:
        """What was typed, as the action takes it."""
        fields = dict(self.cleaned_data)
        return {"amount_minor": fields.pop("amount"), **fields}


class _WhyForm(_SumForm):
    """A sum with its reason, of the whole order or of one job."""

    because = forms.CharField(
        label=_("Why"),
        max_length=200,
        error_messages={"required": _("Write down why; it stays beside the sum.")},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    item = forms.ChoiceField(label=_("For"), required=False)

    def __init__(self, items: dict[str, tuple[Item, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = {key: item for key, (item, _named) in items.items()}
        named = [(key, name) for key, (_item, name) in items.items()]
        self.fields["item"].choices = [("", _("the whole order")), *named]  # type: ignore[attr-defined]
        if len(named) < 2:
            self.fields["item"].widget = forms.HiddenInput()
            self.initial.setdefault("item", named[0][0] if named else "")

    def row(self) -> dict[str, Any]:
        """What was typed, as the action takes it."""
        fields = dict(self.cleaned_data)
        item = self.items.get(fields.pop("item"))
        return {"item": item, "amount_minor": fields.pop("amount"), **fields}


class RefundForm(_WhyForm):
    """Money that goes back."""

    way = forms.ChoiceField(label=_("How"), choices=Way.choices)
    paid_on = forms.DateField(label=_("On"), widget=Day, error_messages=NO_DAY)
    reference = forms.CharField(label=_("Reference"), required=False, max_length=120)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        kwargs["initial"] = {"way": Way.TRANSFER, "paid_on": today}
        super().__init__(*args, **kwargs)

    def row(self) -> dict[str, Any]:
        """What was typed, as the action takes it."""
        return {"kind": Paid.REFUND, **super().row()}


class WriteOffForm(_WhyForm):
    """What is given up."""

    def row(self) -> dict[str, Any]:
        """What was typed, as the action takes it."""
        return {"kind": Paid.WRITTEN_OFF, "way": Way.OTHER, "reference": "", **super().row()}


class TakeBackForm(forms.Form):
    """Why a line was a mistake."""

    token = token_field()
    because = forms.CharField(
        label=_("Why was it a mistake?"),
        max_length=200,
        error_messages={"required": _("Write down why; it stays beside the sum.")},
    )
