"""The form of what a board wants of its card."""

import re

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

t = gettext_lazy
_PLAIN = re.compile(r"(?:[A-Za-z0-9]-[A-Za-z0-9]|[A-Za-z0-9_ .+-])*")


class WishForm(forms.Form):
    """Format, names, size. What is offered first is the usual wish: common practice."""

    rate_hz = forms.TypedChoiceField(
        label=t("Sample rate, Hz"),
        coerce=int,
        choices=[(rate, rate) for rate in (8000, 11025, 16000, 22050, 32000, 44100, 48000)],
    )
    bits = forms.TypedChoiceField(
        label=t("Bits"), coerce=int, choices=[(bits, bits) for bits in (8, 16, 24, 32)]
    )
    channels = forms.TypedChoiceField(
        label=t("Channels"), coerce=int, choices=[(1, t("mono")), (2, t("stereo"))]
    )
    longest_name = forms.IntegerField(
        label=t("Longest file name"),
        min_value=5,
        max_value=240,
        help_text=t("In letters, its ending included."),
    )
    letters = forms.CharField(
        label=t("Letters in a name"),
        max_length=40,
        required=False,
        strip=False,
        help_text=t("As A-Za-z0-9_- for letters, digits, line and stroke. Empty: any."),
    )
    ending = forms.RegexField("^[A-Za-z0-9]{1,8}$", label=t("Ending"))
    card_mib = forms.IntegerField(
        label=t("Size of the card, MiB"), min_value=1, max_value=4_194_304, required=False
    )
    cluster_kib = forms.TypedChoiceField(
        label=t("Cluster, KiB"),
        coerce=int,
        choices=[(kib, kib) for kib in (4, 8, 16, 32, 64, 128)],
        help_text=t("As the card is formatted. 32 is usual: common practice, no source."),
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean_letters(self) -> str:
        """Plain letters and ranges of them; nothing else has a meaning here."""
        said = str(self.cleaned_data["letters"])
        if not _PLAIN.fullmatch(said):
            raise forms.ValidationError(_("Letters, digits, ranges such as a-z, and _ - . + only."))
        return said

    def clean_ending(self) -> str:
        """In small letters, without its dot."""
        return str(self.cleaned_data["ending"]).lower()
