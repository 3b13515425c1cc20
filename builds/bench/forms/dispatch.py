"""Forms of the dispatch day."""

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.models import Parcel
from builds.progress.models import Build
from shop.web.widgets import RowsField


class PackForm(forms.Form):
    """A parcel's token and its day."""

    token = forms.UUIDField()
    expected = forms.DateField()


class PackManyForm(PackForm):
    """Which builds go into one parcel."""

    build = RowsField(Build.objects.all(), to_field_name="number")


class LeftManyForm(forms.Form):
    """Which parcels left."""

    parcel = RowsField(Parcel.objects.all())


class TrackingForm(forms.ModelForm):
    """Who carries a parcel, and under which number."""

    class Meta:
        model = Parcel
        fields = ["carrier", "tracking"]
        labels = {"tracking": _("tracking number")}


class ScanForm(forms.Form):
    """A tag, as a scanner types it, and the day on which its parcel is to leave."""

    scanned = forms.CharField(max_length=300)
    day = forms.DateField()


class DayForm(forms.Form):
    """The dispatch day to look at."""

    day = forms.DateField()
