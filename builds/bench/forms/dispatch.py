"""Forms of the dispatch day."""

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.models import Parcel


class PackForm(forms.Form):
    """A parcel's token and its day."""

    token = forms.UUIDField()
    expected = forms.DateField()


class TrackingForm(forms.ModelForm):
    """Who carries a parcel, and under which number."""

    class Meta:
        model = Parcel
        fields = ["carrier", "tracking"]
        labels = {"tracking": _("tracking number")}


class DayForm(forms.Form):
    """The dispatch day to look at."""

    day = forms.DateField()
