"""How parcels travel: a service in plain words, and the padding in a box."""

from string import Template
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import token_field
from builds.dispatch.models import Service
from shop.house.models import House
from shop.stores.forms.figures import figure_field
from shop.stores.specs import Quantity, Unit
from shop.web.choices import name_blank
from shop.web.figures import AnyFloat, pointed
from shop.web.money import MoneyField

_MOST = Quantity("most_g", _("heaviest parcel"), Unit.G, least=100, most=100_000)
_NUMBERS = {"divisor", "weight_step", "volume_above", "transit_days"}


class ServiceForm(forms.ModelForm):
    """A service: who carries, by which way, how the weight is reckoned, what it covers."""

    class Meta:
        model = Service
        fields = [
            "name", "carrier", "mode", "sides", "divisor", "rounds_sides_up", "weight_step",
            "volume_above", "transit_days", "follow_url",
        ]  # fmt: skip
        labels = {
            "name": _("What you call it"),
            "carrier": _("Who carries it"),
            "divisor": _("Volume divided by"),
            "weight_step": _("Weight is rounded up to the next"),
        }
        help_texts = {
            "name": _("As “road, two days”. It stands on the page of each parcel."),
            "mode": _("It decides what a lithium cell may do in the parcel."),
            "sides": _("As the carrier’s own page says it."),
            "divisor": _(
                "As 5000 for centimetres and kilograms, 139 for inches and pounds. Empty: the "
                "size is not charged."
            ),
            "weight_step": _("As 0.5, in kilograms or pounds. Empty: it is not rounded."),
            "volume_above": _(
                "As 1728 cubic inches. Smaller parcels go by their weight. Empty: all count."
            ),
            "transit_days": _(
                "As 3. Monday to Friday, as carriers count; holidays of the carrier’s own are not "
                "known here. From it follows by when a parcel must leave. Empty: not known."
            ),
            "follow_url": _(
                "Its address, with $number where the number belongs, as "
                "https://carrier.example/follow/$number."
            ),
        }

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kept = self.instance.most_g
        name_blank(self, _("choose one"), "mode")
        self.fields["most_g"] = figure_field(_MOST, "mm", kept)
        self.fields["most_g"].help_text = _("As 30 kg. 50 lb are 22.68 kg, 70 lb are 31.75 kg.")
        self.fields["covered_minor"] = MoneyField(
            label=_("It covers a loss up to"), currency=currency, help_text=_("Empty: not known.")
        )
        self.initial.setdefault("most_g", kept)
        self.initial.setdefault("covered_minor", self.instance.covered_minor)
        for name in _NUMBERS:
            field = self.fields[name]
            field.widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
            if isinstance(self.initial.get(name), float):
                self.initial[name] = f"{self.initial[name]:g}"
        self.order_fields([*self.Meta.fields[:8], "most_g", "covered_minor"])

    def clean_most_g(self) -> int | None:
        """Whole grams."""
        grams = self.cleaned_data["most_g"]
        return None if grams is None else round(grams)

    def clean(self) -> dict[str, Any]:
        """Figures are above zero; the address of a page holds the number."""
        fields: dict[str, Any] = super().clean() or {}
        for name in ("divisor", "weight_step"):
            value = fields.get(name)
            if value is not None and value <= 0:
                self.add_error(name, _("Type a number above 0, or leave it empty."))
        if (fields.get("volume_above") or 0) < 0:
            self.add_error("volume_above", _("Type 0 or more, or leave it empty."))
        self._look_at_the_page(fields.get("follow_url") or "")
        return fields

    def _look_at_the_page(self, url: str) -> None:
        if not url:
            return
        if not url.startswith(("https://", "http://")):
            self.add_error("follow_url", _("Begin with https:// – it is opened from the mail."))
        elif Template(url).get_identifiers() != ["number"]:
            self.add_error("follow_url", _("Write $number once, where the number belongs."))

    def row(self) -> dict[str, Any]:
        """What was typed, by column."""
        return {name: self.cleaned_data[name] for name in self.fields if name in _COLUMNS}


_COLUMNS = {*ServiceForm.Meta.fields, "most_g", "covered_minor"}


class NewServiceForm(ServiceForm):
    """A service to be added once."""

    token = token_field()


class ChangeServiceForm(ServiceForm):
    """A service to be changed, and the newest deed on it that was seen."""

    seen = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def see(self, entry: int) -> None:
        """Show the form again with what was typed, over what somebody else saved meanwhile."""
        self.data = {**{name: self.data.get(name) for name in self.data}, "seen": entry}


class PaddingForm(forms.ModelForm):
    """The padding on each side of what lies in a box."""

    class Meta:
        model = House
        fields = ["box_clearance_mm"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["box_clearance_mm"] = pointed(f"{self.instance.box_clearance_mm:g}")
        self.fields["box_clearance_mm"] = AnyFloat(
            label=_("Padding on each side, in a box, mm"),
            min_value=0,
            max_value=200,
            help_text=_("As 30. The smallest box is looked for with so much on each side."),
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={
                "min_value": _("From 0 to 200 mm."), "max_value": _("From 0 to 200 mm."),
            },
        )  # fmt: skip
