"""A part written down or changed: what all have, and the figures of its kind."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.actions.stock import MOST
from shop.stores.forms.figures import FigureField, figure_field
from shop.stores.models import Part, Supplier
from shop.stores.specs import Quantity, quantities, ratings
from shop.web.money import MoneyField

OF_THE_ROW = ("name", "counted", "stocked", "supplier_ref", "pack", "note", "care")
# As forms ask; cost and price are the owner's.
ABOUT_IT = (
    "stocked", "supplier_id", "supplier_ref", "pack", "cost_minor", "price_minor", "note", "care",
)  # fmt: skip


class PartForm(forms.ModelForm):
    """What a part is. The fields of its cost and its price are there for the owner alone."""

    class Meta:
        model = Part
        fields = list(OF_THE_ROW)
        widgets = {
            "name": forms.TextInput(attrs={"autocomplete": "off"}),
            "counted": forms.RadioSelect,
            "supplier_ref": forms.TextInput(attrs={"autocomplete": "off"}),
            "note": forms.Textarea(attrs={"rows": 3}),
            "care": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {
            "care": gettext_lazy(
                "For the booklet of the hilt it goes into: what not to press, bend or twist."
            ),
            "name": gettext_lazy("Plain and telling, as in: speaker 28 mm, 8 Ω."),
            "stocked": gettext_lazy("Hiltyard says when none is free."),
        }

    def __init__(
        self, *args: Any, kind: str, length_unit: str, currency: str, costs: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.length_unit = kind, length_unit
        self.fields["supplier_id"] = forms.TypedChoiceField(
            label=_("Supplier"),
            choices=_suppliers(self.instance.supplier_id),
            coerce=int,
            empty_value=None,
            required=False,
        )
        self.initial["supplier_id"] = self.instance.supplier_id
        self.fields["pack"] = forms.IntegerField(
            label=_("Comes in packs of"),
            min_value=1,
            max_value=MOST,
            help_text=_("What goes by length: in mm, so 10000 is a reel of ten metres."),
        )
        if costs:
            self.fields["cost_minor"] = MoneyField(
                currency=currency, label=_("Cost of one, or of a metre")
            )
            self.fields["price_minor"] = MoneyField(
                currency=currency,
                label=_("Price of one, or of a metre"),
                help_text=_("What customers pay; quotes begin with it."),
            )
            self.initial["cost_minor"] = self.instance.cost_minor
            self.initial["price_minor"] = self.instance.price_minor
        for quantity in quantities(kind):
            if not quantity.is_rating:
                kept = self.instance.spec.get(quantity.name)
                self.fields[quantity.name] = figure_field(quantity, length_unit, kept)
                self.initial[quantity.name] = kept if kept is not None else ""

    @property
    def about_it(self) -> list[forms.BoundField]:
        """The fields that every part has, but its name and the choice of how it is counted."""
        return [self[name] for name in ABOUT_IT if name in self.fields]

    @property
    def figures(self) -> list[forms.BoundField]:
        """The fields of its kind."""
        return [self[quantity.name] for quantity in self._spec()]

    def fields_given(self) -> dict[str, Any]:
        """What was given of what every part has."""
        names = {*OF_THE_ROW, *ABOUT_IT} & self.fields.keys()
        return {name: self.cleaned_data[name] for name in names}

    def spec_given(self) -> dict[str, Any]:
        """What was given of its kind, without what stayed empty."""
        given = {each.name: self.cleaned_data[each.name] for each in self._spec()}
        return {name: value for name, value in given.items() if value not in (None, "")}

    def _spec(self) -> Iterator[Quantity]:
        return (each for each in quantities(self.kind) if not each.is_rating)


def _suppliers(present: int | None) -> list[tuple[Any, str]]:
    """Those that are bought from, and the one that is there; read now, not while drawing."""
    offered = Supplier.objects.filter(Q(retired=False) | Q(pk=present))
    return [("", _("not said")), *offered.values_list("pk", "name")]


class NewPartForm(PartForm):
    """A new part: its ratings are asked as well, with who says so."""

    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        asked = ratings(self.kind)
        for quantity in asked:
            self.fields[quantity.name] = FigureField(quantity, self.length_unit)
        if asked:
            self.fields["source"] = forms.CharField(
                label=_("Who says so"),
                required=any(each.required for each in asked),
                max_length=120,
                help_text=_("As in: data sheet, the seller's page, measured here."),
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )

    @property
    def limits(self) -> list[forms.BoundField]:
        """The fields of its ratings, and who says so."""
        names = [each.name for each in ratings(self.kind)]
        return [self[name] for name in [*names, "source"] if name in self.fields]

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if self.stated() and not self.cleaned_data.get("source") and "source" not in self.errors:
            self.add_error("source", _("Say who says so."))
        return cleaned

    def stated(self) -> dict[str, float]:
        """The ratings that were given."""
        given: Mapping[str, Any] = self.cleaned_data
        names = [each.name for each in ratings(self.kind)]
        return {name: given[name] for name in names if given.get(name) is not None}


class ChangedPartForm(PartForm):
    """A part that is there already; it carries what the person saw."""

    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.is_typical:
            self.fields["vouched"] = forms.BooleanField(
                required=False,
                label=_("These figures are ours now: measured, or from a data sheet"),
            )

    def fields_given(self) -> dict[str, Any]:
        """What was given; a part whose figures somebody vouches for is typical no more."""
        vouched = {"is_typical": False} if self.cleaned_data.get("vouched") else {}
        return super().fields_given() | vouched


class RatingForm(forms.Form):
    """What somebody states of a part."""

    quantity = forms.ChoiceField(label=gettext_lazy("What"))
    value = forms.CharField(
        label=gettext_lazy("How much"),
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    source = forms.CharField(
        label=gettext_lazy("Who says so"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text=gettext_lazy("As in: data sheet, the seller's page, measured here."),
    )

    def __init__(self, *args: Any, kind: str, length_unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = {each.name: each for each in ratings(kind)}
        self.length_unit = length_unit
        choices = [(name, each.label) for name, each in self.known.items()]
        self.fields["quantity"].choices = choices  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        quantity = self.known.get(self.cleaned_data.get("quantity", ""))
        if quantity and self.cleaned_data.get("value"):
            try:
                figure = FigureField(quantity, self.length_unit, required=True)
                self.cleaned_data["figure"] = figure.clean(self.cleaned_data["value"])
            except forms.ValidationError as error:
                self.add_error("value", error)
        return cleaned
