"""Forms of purchase orders: their lines, the order itself, what came."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.actions.buying import Wanted
from shop.stores.actions.stock import MOST
from shop.stores.forms.fields import (
    AmountField,
    part_choices,
    read_amount,
    supplier_choices,
    token_field,
    typed_amount,
)
from shop.stores.models import Part, Purchase
from shop.stores.queries.buying import Came, parts_to_buy, suppliers
from shop.stores.queries.levels import amount
from shop.web.money import MoneyField
from shop.web.widgets import Day


class DraftForm(forms.Form):
    """Whom a new purchase order is for."""

    supplier = forms.ModelChoiceField(suppliers(), label=gettext_lazy("Supplier"))
    part = forms.ModelChoiceField(Part.objects.none(), required=False, widget=forms.HiddenInput)
    quantity = forms.IntegerField(
        required=False, min_value=1, max_value=MOST, widget=forms.HiddenInput
    )
    token = token_field()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].choices = supplier_choices()  # type: ignore[attr-defined]
        self.fields["part"].queryset = parts_to_buy()  # type: ignore[attr-defined]

    @property
    def wanted(self) -> list[Wanted]:
        """The part that the page before asked to order, and how many."""
        part, quantity = self.cleaned_data.get("part"), self.cleaned_data.get("quantity")
        return [Wanted(part, quantity)] if part and quantity else []


class LineForm(forms.Form):
    """A part to put on a draft, how many, and what each costs."""

    part = forms.ModelChoiceField(Part.objects.none(), label=gettext_lazy("Part"))
    quantity = AmountField(
        label=gettext_lazy("How many"),
        help_text=gettext_lazy("Rounded up to whole packs. Wire and strip in metres."),
    )

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part"].queryset = parts_to_buy()  # type: ignore[attr-defined]
        self.fields["part"].choices = [("", _("choose one")), *part_choices()]  # type: ignore[attr-defined]
        self.fields["cost"] = MoneyField(
            currency=currency,
            label=_("Cost each"),
            help_text=_("Of wire and strip, a metre. Empty: as the part has it."),
        )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        part, typed = values.get("part"), values.get("quantity")
        if part and typed:
            try:
                values["quantity"] = read_amount(typed, part)
            except forms.ValidationError as error:
                self.add_error("quantity", error)
        return values


class LinesForm(forms.Form):
    """All lines of an order in one form: how many of each, and what each costs."""

    def __init__(
        self, *args: Any, lines: Sequence[Came], currency: str, is_draft: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.lines = lines
        for one in lines:
            line = one.line
            if is_draft:
                self.fields[f"many-{line.pk}"] = AmountField(
                    label=_("How many"), initial=typed_amount(line.quantity, line.part)
                )
            self.fields[f"cost-{line.pk}"] = MoneyField(
                currency=currency, label=_("Cost each"), initial=line.cost_minor
            )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        for one in self.lines:
            typed = values.get(f"many-{one.line.pk}")
            if typed is None:
                continue
            try:
                values[f"many-{one.line.pk}"] = read_amount(typed, one.line.part)
            except forms.ValidationError as error:
                self.add_error(f"many-{one.line.pk}", error)
        return values

    @property
    def rows(self) -> list[tuple[Came, BoundField | None, BoundField]]:
        """Each line with its fields."""
        return [
            (
                one,
                self[f"many-{one.line.pk}"] if f"many-{one.line.pk}" in self.fields else None,
                self[f"cost-{one.line.pk}"],
            )
            for one in self.lines
        ]

    @property
    def facts(self) -> list[tuple[Came, int | None, int | None]]:
        """Each line with how many and at what cost."""
        values = self.cleaned_data
        return [
            (one, values.get(f"many-{one.line.pk}"), values[f"cost-{one.line.pk}"])
            for one in self.lines
        ]


class PurchaseForm(forms.ModelForm):
    """The day it is expected, the supplier's number for it, a note."""

    class Meta:
        model = Purchase
        fields = ["expected_on", "supplier_ref", "note"]
        widgets = {"expected_on": Day(), "note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["expected_on"].required = True

    @property
    def facts(self) -> dict[str, Any]:
        """What was typed, by the fields of a purchase order."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def _post_clean(self) -> None:
        """The action writes; the row itself is left alone here."""


class OrderForm(forms.Form):
    """That a draft was ordered: the supplier's number for it, and the day it is expected."""

    expected_on = forms.DateField(label=gettext_lazy("Expected on"), widget=Day())
    supplier_ref = forms.CharField(
        label=gettext_lazy("Supplier's order number"), max_length=60, required=False
    )


class DeliveryForm(forms.Form):
    """What came: a tick and a number for each line; more than was ordered is asked about."""

    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("As what was damaged or wrong: count the good ones alone."),
    )
    token = token_field()
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def __init__(self, *args: Any, lines: Sequence[Came], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = lines
        self.asks: frozenset[int] = frozenset()
        for one in lines:
            key, line = one.line.pk, one.line
            self.fields[f"came-{key}"] = forms.BooleanField(label=line.part.name, required=False)
            self.fields[f"many-{key}"] = AmountField(
                label=_("how many of %s came") % line.part.name,
                required=False,
                initial=typed_amount(one.missing, line.part),
            )
            self.fields[f"more-{key}"] = forms.BooleanField(
                label=_("Yes, so many came"), required=False
            )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        for one in self.lines:
            many = f"many-{one.line.pk}"
            if values.get(f"came-{one.line.pk}"):
                try:
                    values[many] = read_amount(values.get(many) or "", one.line.part)
                except forms.ValidationError as error:
                    self.add_error(many, error)
        return values

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Each line with its fields, and whether more than was ordered is asked about."""
        return [
            {
                "came": one,
                "missing": amount(one.line.part, one.missing),
                "ordered": amount(one.line.part, one.line.quantity),
                "tick": self[f"came-{one.line.pk}"],
                "many": self[f"many-{one.line.pk}"],
                "more": self[f"more-{one.line.pk}"] if one.line.pk in self.asks else None,
            }
            for one in self.lines
        ]

    @property
    def came(self) -> dict[int, int]:
        """Line id → how many came, of what is ticked."""
        values, keys = self.cleaned_data, [one.line.pk for one in self.lines]
        return {key: values[f"many-{key}"] for key in keys if values.get(f"came-{key}")}

    @property
    def surplus(self) -> frozenset[int]:
        """Lines of which somebody says that more came than was ordered."""
        values, keys = self.cleaned_data, [one.line.pk for one in self.lines]
        return frozenset(key for key in keys if values.get(f"more-{key}"))
