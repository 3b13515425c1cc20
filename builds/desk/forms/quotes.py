"""Forms of a quote: its lines, its terms, its answer given otherwise than on the page."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import SAID_HOW, day_field, text_field
from shop.orders.actions import LineFacts
from shop.orders.models import Item, LineOf, Quote, QuoteKind, QuoteLine
from shop.stores.models import Kit, Part
from shop.web.money import MoneyField

_WORDS = {"invalid": _("Write a number such as 6.5.")}
SPARE_LINES = 2


class NumberField(forms.DecimalField):
    """A number with a point or a comma; it is shown without noughts at its end."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("max_digits", 9)
        super().__init__(
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={**_WORDS, "min_value": _("Not less than nothing.")},
            **kwargs,
        )

    def to_python(self, value: Any) -> Any:
        """A comma is a point."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

    def prepare_value(self, value: Any) -> Any:
        """What stands in the field: 6.5, not 6.500."""
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class LineForm(forms.Form):
    """One line: so many at so much each, or hours from so many to so many."""

    kind = forms.ChoiceField(label=_("Kind"), choices=LineOf.choices, initial=LineOf.HOURS)
    words = forms.CharField(
        label=_("What"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": _("What is it? The customer reads it.")},
    )
    low = NumberField(label=_("At least"), decimal_places=3, max_value=100_000)
    quantity = NumberField(label=_("How many"), decimal_places=3, max_value=100_000)
    tax = NumberField(label=_("Tax %"), decimal_places=2, max_value=100)
    item = forms.ChoiceField(label=_("For"), required=False)
    part = forms.IntegerField(widget=forms.HiddenInput, required=False)
    kit = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        *args: Any,
        currency: str,
        tax_hundredths: int,
        items: dict[str, tuple[Item, str]],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.items = items
        self.fields["each"] = MoneyField(
            label=_("Each, an hour"), currency=currency, required=True,
            error_messages={"required": _("How much?")},
        )  # fmt: skip
        if not self.initial:
            self.fields["tax"].initial = Decimal(tax_hundredths) / 100
        named = [(key, name) for key, (_item, name) in items.items()]
        self.fields["item"].choices = [("", _("the whole order")), *named]  # type: ignore[attr-defined]
        if len(items) < 2:
            del self.fields["item"]

    def clean(self) -> dict[str, Any]:
        """The low figure is not above the high one; a single figure is both."""
        fields: dict[str, Any] = super().clean() or {}
        low, quantity = fields.get("low"), fields.get("quantity")
        if quantity is None:
            quantity = low if low is not None else (None if self._is_hours(fields) else Decimal(1))
        if quantity is None and "quantity" not in self.errors:
            self.add_error("quantity", _("How many hours at most?"))
        if low is not None and quantity is not None and low > quantity:
            self.add_error("low", _("The first figure is the lower one."))
        fields["quantity"], fields["low"] = quantity, quantity if low is None else low
        return fields

    def _is_hours(self, fields: dict[str, Any]) -> bool:
        return bool(fields.get("kind") == LineOf.HOURS)

    def facts(self, parts: dict[int, Part], kits: dict[int, Kit]) -> LineFacts:
        """The line, as the action takes it."""
        fields = self.cleaned_data
        item = self.items.get(fields.get("item") or "")
        return LineFacts(
            kind=fields["kind"],
            words=fields["words"],
            low_thousandths=int(fields["low"] * 1000),
            quantity_thousandths=int(fields["quantity"] * 1000),
            each_minor=fields["each"],
            tax_hundredths=int((fields["tax"] or 0) * 100),
            item=item[0] if item else _only(self.items, fields["kind"]),
            part=parts.get(fields["part"] or 0),
            kit=kits.get(fields["kit"] or 0),
        )


def _only(items: dict[str, tuple[Item, str]], kind: str) -> Item | None:
    """The one item of an order that has just one; postage is of the whole."""
    found = [item for item, _name in items.values()]
    return found[0] if len(found) == 1 and kind != LineOf.POSTAGE else None


class Lines(forms.BaseFormSet):
    """The lines of a quote; one that is ticked or left empty is not on it."""

    def add_fields(self, form: forms.Form, index: int | None) -> None:
        """A tick that takes the line off."""
        super().add_fields(form, index)
        form.fields["DELETE"].label = _("take it off")

    def facts(self, parts: dict[int, Part], kits: dict[int, Kit]) -> list[LineFacts]:
        """Every line that stands."""
        return [
            form.facts(parts, kits)
            for form in self.forms
            if form not in self.deleted_forms and (form.has_changed() or not form.empty_permitted)
        ]


LINES = forms.formset_factory(
    LineForm, formset=Lines, extra=SPARE_LINES, can_delete=True, max_num=60
)


def line_initial(line: QuoteLine) -> dict[str, Any]:
    """What stands in the form of a line that is there."""
    low, high = line.low_thousandths, line.quantity_thousandths
    return {
        "kind": line.kind,
        "words": line.words,
        "low": None if low == high else Decimal(low) / 1000,
        "quantity": Decimal(high) / 1000,
        "each": line.each_minor,
        "tax": Decimal(line.tax_hundredths) / 100,
        "item": str(line.item_id or ""),
        "part": line.part_id,
        "kit": line.kit_id,
    }


class QuoteTermsForm(forms.Form):
    """What holds for the whole of a quote."""

    seen = forms.IntegerField(widget=forms.HiddenInput)
    because = text_field(
        _("What was found, and what changes"), 3,
        _("The customer reads it above the figures."), required=False, max_length=2000,
    )  # fmt: skip
    minutes_so_far = forms.IntegerField(
        label=_("Worked on it so far, minutes"), min_value=0, max_value=100_000, required=False
    )
    percent = NumberField(label=_("Discount, %"), decimal_places=2, max_value=100)
    valid_until = day_field(_("Valid until"))

    def __init__(self, quote: Quote, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        currency = quote.currency
        self.fields["amount"] = MoneyField(label=_("or an amount off"), currency=currency)
        self.fields["ceiling_minor"] = MoneyField(
            label=_("Ceiling"), currency=currency,
            help_text=_("Nothing above it is worked without a new yes."),
        )  # fmt: skip
        self.fields["deposit_minor"] = MoneyField(label=_("Deposit"), currency=currency)
        if quote.kind == QuoteKind.QUOTE and not quote.because:
            del self.fields["because"], self.fields["minutes_so_far"]

    def clean(self) -> dict[str, Any]:
        """A discount is a share or an amount."""
        fields: dict[str, Any] = super().clean() or {}
        if fields.get("percent") and fields.get("amount"):
            self.add_error("amount", _("A share or an amount, not both."))
        return fields

    def terms(self) -> dict[str, Any]:
        """The terms, as the action takes them."""
        fields = dict(self.cleaned_data)
        fields["discount_hundredths"] = int((fields.pop("percent") or 0) * 100)
        fields["discount_minor"] = fields.pop("amount") or 0
        fields.pop("seen")
        return fields


def terms_initial(quote: Quote, seen: int, by_rule: tuple[int, int]) -> dict[str, Any]:
    """What stands in the form of the terms; what the shop's rule gives stays empty."""
    ceiling, deposit = by_rule
    return {
        "seen": seen,
        "because": quote.because,
        "minutes_so_far": quote.minutes_so_far,
        "percent": Decimal(quote.discount_hundredths) / 100 if quote.discount_hundredths else None,
        "amount": quote.discount_minor or None,
        "ceiling_minor": None if quote.ceiling_minor in {None, ceiling} else quote.ceiling_minor,
        "deposit_minor": None if quote.deposit_minor == deposit else quote.deposit_minor,
        "valid_until": quote.valid_until,
    }


class PutOnForm(forms.Form):
    """A kit or a part, to be put on the quote at its price."""

    kit_on = forms.ChoiceField(label=_("A kit"), required=False)
    part_on = forms.ChoiceField(label=_("A part with a price"), required=False)

    def __init__(
        self, kits: Iterable[Kit], parts: Iterable[Part], *args: Any, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        none = [("", _("none"))]
        self.fields["kit_on"].choices = none + [(str(k.pk), k.name) for k in kits]  # type: ignore[attr-defined]
        self.fields["part_on"].choices = none + [  # type: ignore[attr-defined]
            (str(p.pk), f"{p.name} · {p.label}") for p in parts
        ]


class QuoteAnswerForm(forms.Form):
    """An answer to a quote that was given to one of us."""

    said = forms.ChoiceField(
        label=_("Answer"),
        choices=[("yes", _("accepted")), ("no", _("declined"))],
        widget=forms.RadioSelect,
        error_messages={"required": _("Was it a yes or a no? Silence is neither.")},
    )
    words = text_field(
        _("Their exact words"), 2, _("Nobody can change them later."),
        error_messages={"required": _("Write down what they said.")},
    )  # fmt: skip
    how = forms.ChoiceField(label=_("How it came"), choices=SAID_HOW)
