"""Forms of the power page: why something may be so, and which series resistors are taken from."""

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.fitting.loads.judged import SERIES


class DecideForm(forms.Form):
    """Why what was found may be so."""

    key = forms.CharField(max_length=200, widget=forms.HiddenInput)
    token = forms.UUIDField(widget=forms.HiddenInput)
    words = forms.CharField(label=_("Why it may be so"), max_length=200)


class SeriesForm(forms.Form):
    """The series of preferred values at hand."""

    series = forms.ChoiceField(label=_("Series"), choices=[(name, name) for name in SERIES])
