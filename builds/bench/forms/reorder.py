"""Forms of the reorder page."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.house.models import House
from shop.stores.models import Part
from shop.stores.queries.buying import suppliers


class AdviceForm(forms.Form):
    """The advice as the person saw it: a supplier, and for each part how many."""

    supplier = forms.ModelChoiceField(suppliers())
    token = forms.UUIDField()

    def __init__(self, data: Any) -> None:
        super().__init__(data)
        self.wanted: list[tuple[Part, int]] = []

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        asked = dict(self._pairs())
        parts = Part.objects.in_bulk(asked)
        self.wanted = [(parts[pk], many) for pk, many in asked.items() if pk in parts]
        if not self.wanted:
            raise forms.ValidationError(_("Nothing is ticked."))
        return values

    def _pairs(self) -> list[tuple[int, int]]:
        """Part and number, from "12:10"; what was bent on its way is left out."""
        split = (text.partition(":") for text in self.data.getlist("want"))  # type: ignore[attr-defined]
        return [
            (int(pk), int(many))
            for pk, _colon, many in split
            if pk.isdecimal() and many.isdecimal() and len(pk) < 10 and len(many) < 9
        ]


class ServiceForm(forms.ModelForm):
    """How safe the shop wants to be."""

    class Meta:
        model = House
        fields = ["service_percent"]
        help_texts = {
            "service_percent": gettext_lazy(
                "More means more on the shelf. 95 is common practice, no source."
            )
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["service_percent"] = forms.IntegerField(
            label=gettext_lazy("Waits in 100 that do not run out"),
            min_value=50,
            max_value=99,
            help_text=self.Meta.help_texts["service_percent"],
        )
