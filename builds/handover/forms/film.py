"""Forms of the shot list, the film and its chapters."""

from typing import Any
from urllib.parse import urlsplit

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.handover.queries.times import typed_ms
from shop.web.widgets import OnePhoto

_HIDDEN = forms.HiddenInput
_A_DAY_MS = 24 * 3600 * 1000


class TickForm(forms.Form):
    """A shot that was filmed."""

    code = forms.CharField(max_length=60)
    token = forms.UUIDField()


class _PutForm(forms.Form):
    seen = forms.IntegerField(min_value=0, widget=_HIDDEN)
    token = forms.UUIDField(widget=_HIDDEN)


class FileForm(_PutForm):
    """A film as a file."""

    film = forms.FileField(
        label=_("Film"),
        widget=forms.FileInput(attrs={"accept": "video/mp4,video/webm,video/quicktime,.mkv,.mov"}),
        error_messages={"required": _("Choose the film first.")},
    )


class LinkForm(_PutForm):
    """A film that lies elsewhere."""

    link = forms.CharField(
        label=_("Its address"),
        max_length=200,
        widget=forms.URLInput(attrs={"autocomplete": "off", "placeholder": "https://"}),
        help_text=_(
            "The customer leaves this page to watch it there. Chapters stand here as a list."
        ),
    )

    def clean_link(self) -> str:
        """An address that browsers open safely."""
        text: str = self.cleaned_data["link"].strip()
        try:
            parts = urlsplit(text)
            is_whole = bool(parts.hostname) and "." in str(parts.hostname) and parts.port != 0
        except ValueError:
            is_whole = False
        if not is_whole or parts.scheme != "https" or parts.username or any(map(str.isspace, text)):
            raise forms.ValidationError(_("Type the whole address, beginning with https://."))
        forms.URLField(assume_scheme="https").clean(text)
        return text


class BeginForm(forms.Form):
    """A film that is to come in pieces."""

    name = forms.CharField(max_length=200)
    size = forms.IntegerField(min_value=1, max_value=2**53)
    mark = forms.CharField(max_length=40, required=False)
    token = forms.UUIDField()


class UseForm(_PutForm):
    """A film that came whole, to be put in its place."""


class _AtForm(forms.Form):
    at = forms.CharField(
        label=_("Begins at"),
        max_length=14,
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "numeric"}),
        error_messages={"required": _("Type where it begins, as 1:05.")},
    )
    title = forms.CharField(
        label=_("Chapter"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": _("Give the chapter a name.")},
    )

    def clean_at(self) -> int:
        """The moment in milliseconds."""
        try:
            ms = typed_ms(self.cleaned_data["at"])
        except ValueError as error:
            raise forms.ValidationError(_("Type where it begins, as 1:05.")) from error
        if ms > _A_DAY_MS:
            raise forms.ValidationError(_("No film is as long as that. Type minutes and seconds."))
        return ms


class ChapterForm(_AtForm):
    """A chapter to set."""

    shot = forms.CharField(max_length=60, required=False, widget=_HIDDEN)
    seconds = forms.FloatField(required=False, min_value=0, widget=_HIDDEN)
    token = forms.UUIDField(widget=_HIDDEN)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "chapter-%s", **kwargs})


class ChangeChapterForm(_AtForm):
    """A chapter to move or to name anew."""

    seen = forms.CharField(max_length=160, widget=_HIDDEN)

    def __init__(self, *args: Any, chapter_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"chapter-{chapter_id}-%s", **kwargs})


class PosterForm(forms.Form):
    """A picture that stands for the film."""

    poster = forms.FileField(
        label=_("Picture"),
        widget=OnePhoto,
        error_messages={"required": _("Choose a picture first.")},
    )
