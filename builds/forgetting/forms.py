"""Forms of forgetting."""

from django import forms
from django.utils.translation import gettext_lazy as _


class EraseForm(forms.Form):
    """The name, typed by the owner's own hand."""

    typed = forms.CharField(
        label=_("Their full name, as it stands above"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )


class YearsForm(forms.Form):
    """For how long papers and binding answers may name somebody who was erased."""

    years = forms.IntegerField(label=_("Years"), min_value=0, max_value=30)
