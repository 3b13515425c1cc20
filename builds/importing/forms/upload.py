"""The file, and what its rows are."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from builds.importing.sheets import NotReadable
from builds.importing.sheets.refused import MOST_BYTES, too_large
from builds.importing.states import Kind


class SheetField(forms.FileField):
    """A spreadsheet of bounded size; whether it is one, its content says later."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
            error_messages={
                "required": _("Choose the file."),
                "empty": _("There is nothing in this file. Choose another one."),
            },
            **kwargs,
        )

    def clean(self, data: Any, initial: Any = None) -> Any:
        """The upload, not larger than a shop's sheet is."""
        upload = super().clean(data, initial)
        if upload and upload.size > MOST_BYTES:
            raise forms.ValidationError(str(too_large()))
        return upload


def bytes_of(upload: "UploadedFile[Any]") -> bytes:
    """Its bytes, which fit in memory: the field has bounded them."""
    return b"".join(upload.chunks())


class UploadForm(forms.Form):
    """A new sheet."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    kind = forms.ChoiceField(
        label=_("What are its rows?"),
        choices=Kind.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Say what its rows are.")},
    )
    file = SheetField(label=_("Your file, CSV or XLSX"), help_text=_("At most 10 MB."))

    def refuse(self, error: NotReadable) -> None:
        """Say beside the file why it was not taken."""
        self.add_error("file", str(error))


class CorrectedForm(forms.Form):
    """The same sheet again, corrected."""

    seen = forms.CharField(widget=forms.HiddenInput)
    file = SheetField(label=_("The corrected file"))

    def refuse(self, error: NotReadable) -> None:
        """As for a new one."""
        self.add_error("file", str(error))
