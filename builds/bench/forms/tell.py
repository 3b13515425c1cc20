"""Forms of "tell the customer": the mail as it will leave, and a note of what was said."""

from collections.abc import Mapping
from string import Template
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.intake.models import Photo
from shop.orders.models import How
from shop.post.models import Occasion
from shop.post.wording import LINK, PLACEHOLDERS, fill, unknown_placeholders
from shop.web.widgets import RowsField, said_at_field, screenshot_field

MOST_SIGNS = 8000
SAID_HOW = (How.TELEPHONE, How.CHAT, How.PERSON)


class TellForm(forms.Form):
    """A message as it will leave, open for the last change."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    occasion = forms.ChoiceField(choices=Occasion.choices, widget=forms.HiddenInput)
    subject = forms.CharField(
        label=gettext_lazy("Subject"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    body = forms.CharField(
        label=gettext_lazy("Message"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 12}),
        help_text=gettext_lazy("$link becomes the address of the customer's own page."),
    )
    photos = RowsField(
        Photo.objects.none(),
        label=gettext_lazy("Photos to send along"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    share = forms.BooleanField(
        label=gettext_lazy("Show these photos on the customer's page too"), required=False
    )

    def __init__(
        self, *args: Any, values: Mapping[str, str], pick_from: Any, **kwargs: Any
    ) -> None:
        self.values = values
        super().__init__(*args, **kwargs)
        self.fields["photos"].queryset = pick_from  # type: ignore[attr-defined]

    def clean_subject(self) -> str:
        """The subject with its values; the private link belongs into the text."""
        typed: str = self.cleaned_data["subject"]
        if LINK in Template(typed).get_identifiers():
            raise forms.ValidationError(_("$link can stand in the message alone."))
        return self._filled(typed)

    def clean_body(self) -> str:
        """The text with its values; ``$link`` stays until it leaves."""
        return self._filled(self.cleaned_data["body"])

    def _filled(self, typed: str) -> str:
        unknown = unknown_placeholders(typed)
        if unknown:
            raise forms.ValidationError(
                _("$%(name)s stands for nothing. Take it out, or use one of: %(known)s.")
                % {"name": unknown[0], "known": ", ".join(f"${name}" for name in PLACEHOLDERS)}
            )
        for name in Template(typed).get_identifiers():
            if name != LINK and not self.values.get(name):
                raise forms.ValidationError(
                    _("Nothing is known for $%s yet. Write in its place what you mean.") % name
                )
        return fill(typed, self.values)


class SaidForm(forms.Form):
    """What was said elsewhere, and how."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    occasion = forms.ChoiceField(choices=Occasion.choices, widget=forms.HiddenInput)
    words = forms.CharField(
        label=gettext_lazy("What you said or wrote"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 6}),
    )
    how = forms.ChoiceField(
        label=gettext_lazy("How"),
        choices=[(how.value, how.label) for how in SAID_HOW],
        widget=forms.RadioSelect,
    )

    said_at = said_at_field()
    screenshot = screenshot_field()

    @property
    def how_words(self) -> str:
        """How it was said, in words."""
        return str(How(self.cleaned_data["how"]).label)
