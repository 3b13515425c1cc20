"""What several forms of this room share: the token that makes a double tap one deed."""

from django import forms
from django.utils.translation import gettext_lazy


class TokenForm(forms.Form):
    """Names one filling-in of a form, so that a double tap is one deed."""

    token = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages={
            "required": gettext_lazy("This page is out of date. Open it anew and tap again."),
            "invalid": gettext_lazy("This page is out of date. Open it anew and tap again."),
        },
    )
