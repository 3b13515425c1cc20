"""How the file is read: the sheet and the row of headings, or characters and separator."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.importing.models import Import
from builds.importing.sheets import Reading

_ENCODINGS = [
    ("utf-8", _("UTF-8")),
    ("utf-16", _("UTF-16, “Unicode text”")),
    ("cp1252", _("Windows, western Europe")),
]
_DELIMITERS = [
    (",", _("comma")), (";", _("semicolon")), ("tab", _("tab")), ("|", _("upright line")),
]  # fmt: skip


class ReadingForm(forms.Form):
    """What the first look found, to be changed."""

    seen = forms.CharField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, one: Import, **kwargs: Any) -> None:
        initial = {
            "seen": one.stamp, "encoding": one.encoding, "sheet": one.sheet,
            "delimiter": one.delimiter.replace("\t", "tab"), "header_row": one.header_row,
        }  # fmt: skip
        kwargs["initial"] = initial
        super().__init__(*args, **kwargs)
        if one.reading.is_text:
            self.fields["delimiter"] = forms.ChoiceField(
                label=_("Between columns stands a"), choices=_DELIMITERS
            )
            self.fields["encoding"] = forms.ChoiceField(label=_("Characters"), choices=_ENCODINGS)
        else:
            sheets = [(name, name) for name in one.sheets]
            self.fields["sheet"] = forms.ChoiceField(label=_("Sheet"), choices=sheets)
        self.fields["header_row"] = forms.IntegerField(
            label=_("Headings are in row"), min_value=1, max_value=1000
        )

    def reading(self) -> Reading:
        """The choices."""
        given = self.cleaned_data
        return Reading(
            given.get("encoding", ""),
            given.get("delimiter", "").replace("tab", "\t"),
            given.get("sheet", ""),
            given["header_row"],
        )
