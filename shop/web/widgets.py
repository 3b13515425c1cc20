"""Inputs that browsers know how to ask for: a day, an hour, both, photos."""

from datetime import datetime
from typing import Any

from django import forms
from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

EARLIEST_YEAR = 1990


class Day(forms.DateInput):
    """A day, by the browser's own calendar."""

    input_type = "date"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%Y-%m-%d")


class Hour(forms.TimeInput):
    """An hour and minute, by the browser's own clock."""

    input_type = "time"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%H:%M")


class HourField(forms.TimeField):
    """An hour and minute; seconds are refused, for nothing here reckons with them."""

    widget = Hour
    default_error_messages = {"invalid": _("Write the hour as 09:30.")}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(input_formats=["%H:%M"], **kwargs)


class Moment(forms.DateTimeInput):
    """A day and an hour, by the browser's own calendar and clock."""

    input_type = "datetime-local"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%Y-%m-%dT%H:%M")


class Photos(forms.FileInput):
    """Many photos at a time. No ``capture``: phones would then take one only."""

    allow_multiple_selected = True

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"multiple": True, "accept": "image/*", **(attrs or {})})


class OnePhoto(forms.FileInput):
    """One picture, such as a screenshot."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"accept": "image/*", **(attrs or {})})


class RowsField(forms.ModelMultipleChoiceField):
    """Several rows by their keys. A key larger than a database's numbers names no row."""

    def clean(self, value: Any) -> Any:
        """The rows; what names none is refused in words."""
        try:
            return super().clean(value)
        except OverflowError as error:
            raise forms.ValidationError(_("One of these is not there. Choose anew.")) from error


class MomentField(forms.DateTimeField):
    """A day and an hour of this shop's time: a year mistyped by far is refused."""

    def clean(self, value: Any) -> datetime | None:
        """The moment, in no year that cannot be told in every zone."""
        moment: datetime | None = super().clean(value)
        if moment and moment.year < EARLIEST_YEAR:
            raise forms.ValidationError(_("That is too long ago. Look at the year."))
        return moment


def language_field(help_text: Any) -> forms.ChoiceField:
    """Somebody's own language; empty stands for the shop's."""
    return forms.ChoiceField(
        label=_("Language"),
        choices=[("", _("as the shop has it")), *settings.LANGUAGES],
        required=False,
        help_text=help_text,
    )


def said_at_field() -> MomentField:
    """When something was said, in the shop's time."""
    return MomentField(
        label=_("When"),
        required=False,
        widget=Moment,
        error_messages={"invalid": _("Write day and hour as 2026-12-14 16:30.")},
    )


def screenshot_field() -> forms.FileField:
    """A picture of a chat, as evidence of what was said."""
    return forms.FileField(label=_("Screenshot"), required=False, widget=OnePhoto)


class PhotosField(forms.FileField):
    """Cleans to a list of uploaded files, each checked as one."""

    widget = Photos

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        """Every file on its own; an empty list where none came and none is needed."""
        files = data if isinstance(data, list | tuple) else [data]
        cleaned = [super(PhotosField, self).clean(one, initial) for one in files or [None]]
        return [one for one in cleaned if one]


class ManyFiles(forms.FileInput):
    """Several files, or a folder where the browser lets one choose it."""

    allow_multiple_selected = True

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"multiple": True, **(attrs or {})})


class FilesField(forms.FileField):
    """Files of any kind; cleans to a list. One that is empty comes along, to be told of by name."""

    widget = ManyFiles

    def clean(self, data: Any, initial: Any = None) -> Any:
        """The files; an empty list where none came and none is needed."""
        files = [each for each in data if each is not None] if isinstance(data, list) else []
        if not files and self.required:
            raise forms.ValidationError(self.error_messages["required"])
        return files
