"""Forms of kits."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from shop.stores.actions.kits import LONGEST
from shop.templatetags.draw import DIVISIONS


class KitForm(forms.Form):
    """The name of a kit, and a note on it."""

    name = forms.CharField(label=gettext_lazy("kit"), max_length=60)
    note = forms.CharField(
        label=gettext_lazy("note"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )


class NewKitForm(KitForm):
    """A kit to be made; ``token`` names one filling-in."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class MinutesForm(forms.Form):
    """The minutes that a kit takes at each stage of the work."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for stage, label in DIVISIONS.items():
            self.fields[stage] = forms.IntegerField(
                label=label, required=False, min_value=0, max_value=LONGEST
            )

    def minutes(self) -> dict[str, int]:
        """What was typed; an empty field is none."""
        return {stage: value or 0 for stage, value in self.cleaned_data.items()}
