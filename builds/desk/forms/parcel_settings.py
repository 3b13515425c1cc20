"""What the customs are told of each parcel, unless it is typed anew there."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.actions import Refused
from builds.dispatch.actions.customs import tariff_code
from shop.house.models import House
from shop.house.world import countries


class ParcelSettingsForm(forms.ModelForm):
    """What stands on papers for the customs, as a rule."""

    class Meta:
        model = House
        fields = ["customs_words", "origin", "tariff_code"]
        labels = {
            "customs_words": _("What parcels hold"),
            "origin": _("Country of origin of the work"),
            "tariff_code": _("Tariff code"),
        }
        help_texts = {
            "customs_words": _("In plain words: what it is, of what, what was done to it."),
            "tariff_code": _(
                "Ask your customs office or carrier which code they want. Six digits or more."
            ),
        }
        widgets = {
            "customs_words": forms.TextInput(attrs={"autocomplete": "off"}),
            "tariff_code": forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["origin"] = forms.ChoiceField(
            label=self.fields["origin"].label,
            required=False,
            choices=[("", _("not known yet")), *countries()],
            help_text=_("Each of these is asked before a parcel leaves the country."),
        )
        self.before = {name: getattr(self.instance, name) for name in self.fields}

    def clean_tariff_code(self) -> str:
        """Digits, six at least."""
        try:
            return tariff_code(self.cleaned_data["tariff_code"])
        except Refused as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def changed(self) -> list[str]:
        """The fields that have another value now."""
        return [name for name, old in self.before.items() if self.cleaned_data[name] != old]
