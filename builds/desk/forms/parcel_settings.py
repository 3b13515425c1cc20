"""The parcel part of the settings: padding in a box, and what the customs are told as a rule."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.actions import Refused
from builds.dispatch.actions.customs import tariff_code
from shop.house.models import House
from shop.house.world import countries


class ParcelSettingsForm(forms.ModelForm):
    """How parcels are packed, and what stands on papers for the customs unless typed anew."""

    class Meta:
        model = House
        fields = ["box_clearance_mm", "customs_words", "origin", "tariff_code"]
        labels = {
            "box_clearance_mm": _("Padding on each side in a box, mm"),
            "customs_words": _("What parcels hold"),
            "origin": _("Country of origin of the work"),
            "tariff_code": _("Tariff code"),
        }
        help_texts = {
            "box_clearance_mm": _("A box is chosen with this much room around what lies in it."),
            "customs_words": _("In plain words: what it is, of what, what was done to it."),
            "tariff_code": _(
                "Ask your customs office or carrier which code they want. Six digits or more."
            ),
        }
        widgets = {
            "customs_words": forms.TextInput(attrs={"autocomplete": "off"}),
            "tariff_code": forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}),
        }
        error_messages = {
            "box_clearance_mm": {"required": _("How much room on each side? 0 where none.")}
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["origin"] = forms.ChoiceField(
            label=self.fields["origin"].label,
            required=False,
            choices=[("", _("not known yet")), *countries()],
        )
        self.initial["box_clearance_mm"] = f"{self.instance.box_clearance_mm:g}"
        self.before = {name: getattr(self.instance, name) for name in self.fields}

    def clean_box_clearance_mm(self) -> float:
        """Between nothing and 200 mm."""
        room = float(self.cleaned_data["box_clearance_mm"])
        if not 0 <= room <= 200:
            raise forms.ValidationError(_("Between 0 and 200 mm."))
        return room

    def clean_tariff_code(self) -> str:
        """Digits, six at least."""
        try:
            return tariff_code(self.cleaned_data["tariff_code"])
        except Refused as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def changed(self) -> list[str]:
        """The fields that have another value now."""
        return [name for name, old in self.before.items() if self.cleaned_data[name] != old]
