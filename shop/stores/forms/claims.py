"""Forms of claims."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.forms.fields import (
    AmountField,
    part_choices,
    read_amount,
    supplier_choices,
    token_field,
)
from shop.stores.models import ClaimState, Part
from shop.stores.queries.buying import parts_to_buy, suppliers


class ClaimForm(forms.Form):
    """Which part in stock is dead, how many, what is wrong, and who sold it."""

    part = forms.ModelChoiceField(Part.objects.none(), label=gettext_lazy("Part"))
    quantity = AmountField(label=gettext_lazy("How many"), initial="1")
    fault = forms.CharField(
        label=gettext_lazy("What is wrong with it"),
        max_length=200,
        help_text=gettext_lazy("As you will write it to the supplier."),
    )
    serial = forms.CharField(label=gettext_lazy("Serial number"), max_length=60, required=False)
    supplier = forms.ModelChoiceField(suppliers(), label=gettext_lazy("Supplier"))
    token = token_field()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part"].queryset = parts_to_buy()  # type: ignore[attr-defined]
        self.fields["part"].choices = [("", _("choose one")), *part_choices()]  # type: ignore[attr-defined]
        self.fields["supplier"].choices = supplier_choices()  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if values.get("part") and values.get("quantity"):
            try:
                values["quantity"] = read_amount(values["quantity"], values["part"])
            except forms.ValidationError as error:
                self.add_error("quantity", error)
        return values


class ClaimMoveForm(forms.Form):
    """How far a claim has come, and the state that the person saw."""

    to = forms.ChoiceField(choices=ClaimState.choices)
    seen = forms.ChoiceField(choices=ClaimState.choices)
    token = forms.UUIDField()
