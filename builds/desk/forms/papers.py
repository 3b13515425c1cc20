"""Forms of numbered papers: the lines of an invoice, why one is credited, words that go along."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import text_field, token_field
from shop.orders.queries.invoicing import Off, PaperLine
from shop.web.money import MoneyField

SPARE = 3  # empty lines below those that are there
MOST_LINES = 60


class ShareField(forms.DecimalField):
    """Per cent with two decimals, typed with a point or a comma; cleans to hundredths."""

    def __init__(self, **kwargs: Any) -> None:
        facts = {"required": False, "min_value": 0, "max_value": 100, "decimal_places": 2}
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(**{**facts, "widget": forms.TextInput(attrs=attrs), **kwargs})

    def to_python(self, value: Any) -> Any:
        """A comma is a point."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

    def clean(self, value: Any) -> Any:
        """Hundredths of a per cent; nothing is none."""
        return int((super().clean(value) or Decimal(0)) * 100)

    def prepare_value(self, value: Any) -> Any:
        """Hundredths as one types them."""
        return f"{(Decimal(value) / 100).normalize():f}" if isinstance(value, int) else value


class LineForm(forms.Form):
    """One line of an invoice; one without words is not on it."""

    words = forms.CharField(label=_("What"), required=False, max_length=200)
    quantity = forms.CharField(label=_("How many"), required=False, initial="1")

    def __init__(self, *args: Any, currency: str, tax_hundredths: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["each"] = MoneyField(label=_("Each"), currency=currency)
        self.fields["tax"] = ShareField(label=_("Tax, %"), initial=tax_hundredths)
        self.fields["quantity"].widget.attrs = {"inputmode": "decimal", "autocomplete": "off"}
        self.fields["words"].widget.attrs["autocomplete"] = "off"

    def clean_quantity(self) -> Decimal:
        """A number above nothing, with at most three decimals."""
        text = str(self.cleaned_data["quantity"] or "1").replace(",", ".").strip()
        if not text.replace(".", "", 1).isascii() or not text.replace(".", "", 1).isdecimal():
            raise forms.ValidationError(_("Write a number such as 6.5."))
        number = Decimal(text)
        if not 0 < number <= 100_000 or number != round(number, 3):
            raise forms.ValidationError(_("Write a number such as 6.5."))
        return number

    def clean(self) -> dict[str, Any]:
        """What has a price has words, and what has words has a price."""
        fields: dict[str, Any] = super().clean() or {}
        if fields.get("words") and fields.get("each") is None and "each" not in self.errors:
            self.add_error("each", _("How much is one?"))
        if fields.get("each") is not None and not fields.get("words"):
            self.add_error("words", _("What is it? The customer reads it."))
        return fields

    def line(self) -> PaperLine | None:
        """The line, as the action takes it; None where nothing stands on it."""
        fields = self.cleaned_data
        if not fields["words"]:
            return None
        return PaperLine(fields["words"], fields["quantity"], fields["each"], fields["tax"])


LINES = forms.formset_factory(LineForm, extra=SPARE, max_num=MOST_LINES)


def initial_of(lines: Iterable[PaperLine]) -> list[dict[str, Any]]:
    """What stands in the forms of lines that are there."""
    return [
        {
            "words": line.words,
            "quantity": f"{line.quantity.normalize():f}",
            "each": line.each_minor,
            "tax": line.tax_hundredths,
        }
        for line in lines
    ]


class InvoiceForm(forms.Form):
    """What holds for the whole of an invoice."""

    token = token_field()
    share = ShareField(label=_("Discount, %"))
    reference = forms.CharField(
        label=_("Customer's reference"),
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["amount"] = MoneyField(label=_("or an amount off"), currency=currency)
        self.order_fields(["token", "share", "amount"])

    def clean(self) -> dict[str, Any]:
        """A discount is a share or an amount."""
        fields: dict[str, Any] = super().clean() or {}
        if fields.get("share") and fields.get("amount"):
            self.add_error("amount", _("A share or an amount, not both."))
        return fields

    def off(self) -> Off:
        """The discount."""
        return Off(self.cleaned_data["share"], self.cleaned_data["amount"] or 0)


class CreditForm(forms.Form):
    """Why an invoice is taken back."""

    token = token_field()
    because = forms.CharField(
        label=_("Why"),
        max_length=200,
        error_messages={"required": _("Write down why; it stands on the credit note.")},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class SendPaperForm(forms.Form):
    """A mail that a paper goes along with."""

    token = token_field()
    subject = forms.CharField(label=_("Subject"), max_length=200)
    body = text_field(_("Text"), 12)
