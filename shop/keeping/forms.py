"""Forms for back-ups: where, when, and under which words."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.keeping import folders
from shop.keeping.actions.asking import Where, check_folder
from shop.keeping.archive import Refused
from shop.web.widgets import HourField

FIXED = _("Set by this machine's environment: it is changed there.")
LEAST_WORDS = 12  # signs; a file under shorter words is opened by trying


class WhereForm(forms.Form):
    """The hour and the two folders."""

    at = HourField(
        label=_("Each night at"),
        help_text=_("A machine that is off then makes it as it is switched on."),
    )
    folder = forms.CharField(
        label=_("Folder"),
        required=False,
        max_length=400,
        help_text=_(
            "Empty: the folder “backups” beside the shop's data, which is on the same disk."
        ),
        widget=forms.TextInput(attrs={"autocapitalize": "none", "spellcheck": "false"}),
    )
    second = forms.CharField(
        label=_("Second folder"),
        required=False,
        max_length=400,
        help_text=_(
            "On another disk or another machine, as in /mnt/other/hiltyard. Each back-up is "
            "copied there."
        ),
        widget=forms.TextInput(attrs={"autocapitalize": "none", "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, setting in (("folder", folders.FOLDER), ("second", folders.SECOND)):
            if folders.is_fixed(setting):
                self.fields[name].disabled = True
                self.fields[name].help_text = FIXED

    def clean_folder(self) -> str:
        return self._checked("folder")

    def clean_second(self) -> str:
        return self._checked("second")

    def _checked(self, name: str) -> str:
        if self.fields[name].disabled:
            return str(self.cleaned_data[name])
        try:
            return check_folder(self.cleaned_data[name].strip())
        except Refused as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        second = data.get("second")
        if second and second in (data.get("folder"), str(folders.folder())):
            self.add_error("second", _("That is the first folder: name another one."))
        return data

    def where(self) -> Where:
        """What was typed."""
        return Where(**self.cleaned_data)


class PassphraseForm(forms.Form):
    """The words that lock back-ups, typed twice."""

    words = forms.CharField(
        label=_("Passphrase"),
        strip=False,
        max_length=200,
        help_text=_(
            "Several words. Without them nobody opens a back-up, you neither: write them down "
            "and keep them away from this machine."
        ),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label=_("Once more"),
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_words(self) -> str:
        words: str = self.cleaned_data["words"]
        if words != words.strip() or not words.isprintable() or words[0] in "\"'":
            raise forms.ValidationError(_("No blank, line or quote at its beginning or end."))
        if len(words) < LEAST_WORDS:
            raise forms.ValidationError(_("At least %d signs.") % LEAST_WORDS)
        return words

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "words" in data and data["words"] != data.get("again"):
            self.add_error("again", _("These are not the same words."))
        return data
