"""The money part of the settings, a customer's account, and the period of the books."""

from datetime import date
from string import Template
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.papers import ShareField
from shop.house.models import House
from shop.orders.models import Account
from shop.web.money import MoneyField
from shop.web.widgets import Day

PLACEHOLDERS = {"amount", "number", "currency"}


class MoneySettingsForm(forms.ModelForm):
    """How the shop counts, what it asks, how it is paid."""

    tax_hundredths = ShareField(
        required=True, label=_("Tax, %"), help_text=_("0 where you charge none.")
    )
    deposit_hundredths = ShareField(
        required=True,
        label=_("Deposit, % of the high figure"),
        help_text=_("0 where you ask for none."),
    )
    ceiling_hundredths = ShareField(
        required=True,
        label=_("Ceiling, % above the high figure"),
        help_text=_("Above it nothing is worked or invoiced without a new yes."),
        max_value=None,
    )

    rush_hundredths = ShareField(
        required=True,
        label=_("Rush fee, % of the hours"),
        help_text=_("For work that is taken out of turn. You put it on a quote by hand."),
        max_value=None,
    )

    class Meta:
        model = House
        fields = [
            "prices", "rounding", "tax_hundredths", "tax_number", "hour_minor",
            "ceiling_hundredths", "quote_days", "deposit_hundredths", "deposit_from_minor",
            "keeps_deposit", "rush_hundredths", "rush_least_minor", "invoice_days", "how_to_pay",
        ]  # fmt: skip
        widgets = {"how_to_pay": forms.Textarea(attrs={"rows": 4})}
        help_texts = {
            "tax_number": _("It stands on invoices."),
            "how_to_pay": _(
                "It stands on invoices and on customers' pages. $amount is what is to be paid, "
                "$number the invoice or the order: a payment link may hold them."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        currency = self.instance.currency
        self.fields["hour_minor"] = MoneyField(label=_("An hour costs"), currency=currency)
        self.fields["deposit_from_minor"] = MoneyField(
            label=_("Deposit asked from"),
            currency=currency,
            help_text=_("Below this sum none is asked."),
        )
        self.fields["rush_least_minor"] = MoneyField(
            label=_("Rush fee at least"),
            currency=currency,
            help_text=_("Both nothing: you ask none."),
        )
        self.before = {name: getattr(self.instance, name) for name in self.fields}

    def clean_hour_minor(self) -> int:
        """Nothing typed is nothing."""
        return int(self.cleaned_data["hour_minor"] or 0)

    def clean_rush_least_minor(self) -> int:
        """Nothing typed is nothing."""
        return int(self.cleaned_data["rush_least_minor"] or 0)

    def clean_deposit_from_minor(self) -> int:
        """Nothing typed is nothing."""
        return int(self.cleaned_data["deposit_from_minor"] or 0)

    def clean_how_to_pay(self) -> str:
        """A name after a "$" that stands for nothing is refused."""
        text = str(self.cleaned_data["how_to_pay"])
        unknown = [name for name in Template(text).get_identifiers() if name not in PLACEHOLDERS]
        if unknown:
            raise forms.ValidationError(
                _("$%(name)s stands for nothing here. Known are $amount, $number, $currency."),
                params={"name": unknown[0]},
            )
        return text

    def changed(self) -> list[str]:
        """The fields that have another value now."""
        return [name for name, old in self.before.items() if self.cleaned_data[name] != old]


class AccountForm(forms.ModelForm):
    """The terms of a trade customer."""

    discount_hundredths = ShareField(label=_("Discount, %"))

    class Meta:
        model = Account
        fields = ["days", "discount_hundredths", "hour_minor", "limit_minor", "tax_number"]
        help_texts = {"tax_number": _("It stands on their invoices.")}

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hour_minor"] = MoneyField(
            label=_("An hour costs them"),
            currency=currency,
            help_text=_("Empty: as everybody."),
        )
        self.fields["limit_minor"] = MoneyField(
            label=_("Limit"),
            currency=currency,
            help_text=_("Above it work leaves only paid. Empty: none."),
        )


class PeriodForm(forms.Form):
    """From a day to a day, both within."""

    first = forms.DateField(label=_("From"), widget=Day)
    last = forms.DateField(label=_("To"), widget=Day)

    def clean(self) -> dict[str, Any]:
        """The first day is not after the last."""
        fields: dict[str, Any] = super().clean() or {}
        first, last = fields.get("first"), fields.get("last")
        if first and last and first > last:
            self.add_error("last", _("The last day comes after the first."))
        return fields

    def days(self) -> tuple[date, date]:
        """First and last day."""
        return self.cleaned_data["first"], self.cleaned_data["last"]
