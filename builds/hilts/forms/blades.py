"""Forms of blades: what one is, its pixels counted, the hilt it was tried in, how it ended."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.hilts.models import Hilt
from shop.stores.models import Part
from shop.stores.units import millimetres

WIDEST_MM, LONGEST_MM, MOST_PIXELS = 60.0, 2000.0, 2000


class Millimetres(forms.CharField):
    """A length in the shop's unit, or in the one that is typed with it; empty is not known."""

    def __init__(self, *, unit: str, most: float, **kwargs: Any) -> None:
        self.unit, self.most = unit, most
        attrs = {"inputmode": "decimal" if unit == "mm" else "text", "autocomplete": "off"}
        widget = forms.TextInput(attrs=attrs)
        super().__init__(max_length=20, required=False, widget=widget, **kwargs)

    def clean(self, value: Any) -> Any:
        """Its millimetres, or None.

        :raises ValidationError: it is no length, or no blade is so large.
        """
        text: str = super().clean(value)
        if not text:
            return None
        try:
            found = float(millimetres(text, self.unit))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        if found > self.most:
            raise forms.ValidationError(_("No blade is so large. Look at the unit."))
        return found


class BladeForm(forms.Form):
    """What a blade is."""

    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=80,
        help_text=gettext_lazy("As its owner tells it from others: “long blue”, “36 inch”."),
    )
    part_id = forms.TypedChoiceField(
        label=gettext_lazy("Stands in stores as"), coerce=int, required=False, empty_value=None
    )
    connector = forms.CharField(
        label=gettext_lazy("Connector"), max_length=60, required=False,
        help_text=gettext_lazy("“Three pins, spring-loaded”; “none, lit by the hilt”."),
    )  # fmt: skip
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, unit: str, parts: Iterable[Part], **kwargs: Any) -> None:
        """:param parts: blades that stand in stores."""
        super().__init__(*args, **kwargs)
        self.fields["diameter_mm"] = Millimetres(
            unit=unit, most=WIDEST_MM, label=_("Outside diameter"),
            help_text=_("Such as 25.4 mm or 7/8 in. Empty: as the part in stores has it."),
        )  # fmt: skip
        self.fields["length_mm"] = Millimetres(
            unit=unit, most=LONGEST_MM, label=_("Length"), help_text=_("Such as 914 mm or 36 in.")
        )
        self.fields["part_id"].choices = [  # type: ignore[attr-defined]
            ("", _("no part of ours")), *((each.pk, each.name) for each in parts),
        ]  # fmt: skip
        self.order_fields(["name", "part_id", "diameter_mm", "length_mm", "connector", "note"])


class NewBladeForm(BladeForm):
    """A blade to write down; the token makes a double tap one blade."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class ChangeBladeForm(BladeForm):
    """A blade to change, with what the person saw of it."""

    seen = forms.CharField(widget=forms.HiddenInput)


class CountForm(forms.Form):
    """How many pixels were counted."""

    seen = forms.CharField(widget=forms.HiddenInput)
    pixels = forms.IntegerField(
        label=gettext_lazy("Pixels, both sides together"), min_value=0, max_value=MOST_PIXELS,
        help_text=gettext_lazy("Counted one by one on this blade; 0 where it has none."),
    )  # fmt: skip


class TryForm(forms.Form):
    """The hilt that a blade was tried in."""

    seen = forms.CharField(widget=forms.HiddenInput)
    hilt = forms.TypedChoiceField(label=gettext_lazy("Tried in"), coerce=int)

    def __init__(self, *args: Any, hilts: Iterable[Hilt], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hilt"].choices = [(hilt.pk, hilt.name) for hilt in hilts]  # type: ignore[attr-defined]


class GoneForm(forms.Form):
    """What became of a blade."""

    seen = forms.CharField(widget=forms.HiddenInput)
    because = forms.CharField(
        label=gettext_lazy("What became of it"), max_length=120,
        help_text=gettext_lazy("“Sold on”, “broken”, “stripped for its pixels”."),
    )  # fmt: skip
