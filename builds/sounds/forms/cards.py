"""Forms of the card: its list, a card held against it, what is kept of it."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.sounds.states import KeptKind

t = gettext_lazy
MOST_OF_LIST = 4_000_000  # bytes of a text with checksums


class TokenForm(forms.Form):
    """A deed that asks nothing and is done once."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class CheckForm(TokenForm):
    """The checksums of a card: a file as sha256sum writes it, or what the browser summed."""

    listing = forms.FileField(
        label=t("List of checksums"),
        required=False,
        help_text=t("On the card’s folder: find . -type f -exec sha256sum {} + > card.txt"),
    )
    sums = forms.CharField(widget=forms.HiddenInput, required=False, max_length=MOST_OF_LIST)

    @property
    def is_empty(self) -> bool:
        """Whether neither of the two was chosen."""
        return not self.files.get("listing") and not self.data.get("sums")

    def text(self) -> str:
        """The list, whichever way it came."""
        upload = self.cleaned_data.get("listing")
        if upload is None:
            return str(self.cleaned_data.get("sums") or "")
        return str(upload.read(MOST_OF_LIST).decode("utf-8", "replace"))

    def clean(self) -> dict[str, Any]:
        """One of the two must be there."""
        values = super().clean() or self.cleaned_data
        if not values.get("listing") and not values.get("sums") and not self.errors:
            self.add_error("listing", _("Choose the list, or the folder of the card."))
        return values


class KeepForm(TokenForm):
    """What is kept so that a dead card can be made again."""

    kind = forms.ChoiceField(label=t("What it is"), choices=KeptKind.choices)
    upload = forms.FileField(
        label=t("File"), required=False, help_text=t("Up to 50 MB, kept as it is.")
    )
    version = forms.CharField(label=t("Version, in words"), max_length=60, required=False)

    def clean(self) -> dict[str, Any]:
        """A file or a version: else there is nothing to keep."""
        values = super().clean() or self.cleaned_data
        if not values.get("upload") and not values.get("version") and not self.errors:
            self.add_error("upload", _("Choose a file, or write the version down."))
        return values
