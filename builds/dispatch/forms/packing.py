"""Forms of the packing list."""

from django import forms


class TickForm(forms.Form):
    """Which line of which parcel is ticked, and the token of the tap."""

    token = forms.UUIDField()
    code = forms.CharField(max_length=30)
    build = forms.IntegerField(required=False)
