"""The form by which a build starts from an earlier one of its hilt."""

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.handover.states import Start


class StartForm(forms.Form):
    """From which build, and whether its parts are in the hilt."""

    source = forms.IntegerField(widget=forms.HiddenInput)
    how = forms.ChoiceField(
        label=_("Its parts"),
        choices=Start.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Say whether its parts are in the hilt.")},
    )
