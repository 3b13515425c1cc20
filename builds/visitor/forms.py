"""The forms of the customer's pages."""

from uuid import uuid4

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from builds.handover.states import CellNow
from shop.web.widgets import FilesField, PhotosField

MOST_SIGNS = 2000
MOST_PHOTOS = 6


class YesNoForm(forms.Form):
    """A yes or a no, said by a button of its own; with a no, why, if they like to say."""

    said = forms.ChoiceField(choices=[("yes", "yes"), ("no", "no")])
    words = forms.CharField(
        label=_("Why, if you like to tell us"),
        max_length=MOST_SIGNS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "autocomplete": "off"}),
    )

    @property
    def is_yes(self) -> bool:
        """Whether it is a yes."""
        return bool(self.cleaned_data["said"] == "yes")


class SoundsForm(forms.Form):
    """Sound files for the shop: a zip, or the files."""

    sounds = FilesField(
        label=_("A zip, or sound files"),
        error_messages={"required": _("Choose a zip or sound files first.")},
    )
    about = forms.CharField(
        label=_("What they are for"),
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)


class ReturnForm(forms.Form):
    """Something is wrong with a hilt that left: what, and how its battery is."""

    words = forms.CharField(
        label=_("What is wrong?"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        error_messages={
            "required": _("Say in a few words what is wrong."),
            "max_length": _("That is longer than 2000 signs. Please shorten it a little."),
        },
    )
    cell = forms.ChoiceField(
        label=_("The battery, if you can see it without force"),
        choices=CellNow.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Look at the battery, and say how it is.")},
    )
    photos = PhotosField(
        label=_("Photos, if they help"),
        required=False,
        help_text=_("Up to six. Never open the hilt for them."),
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)

    def clean_photos(self) -> list[UploadedFile]:
        """A few are enough."""
        photos: list[UploadedFile] = self.cleaned_data["photos"]
        if len(photos) > MOST_PHOTOS:
            raise forms.ValidationError(_("Six photos are enough. Choose the best."))
        return photos


class QuestionForm(forms.Form):
    """A question to the shop."""

    words = forms.CharField(
        label=_("Your question"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        error_messages={
            "required": _("Write your question first."),
            "max_length": _("That is longer than 2000 signs. Please shorten it a little."),
        },
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
