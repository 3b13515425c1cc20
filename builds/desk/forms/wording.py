"""The shop's own words for an occasion."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import text_field
from shop.post.wording import unknown_placeholders


class WordingForm(forms.Form):
    """Subject and text, with placeholders."""

    subject = forms.CharField(
        label=_("Subject"),
        max_length=200,
        error_messages={"required": _("A mail needs a subject.")},
    )
    body = text_field(
        _("Text"),
        14,
        _("A line whose placeholder has nothing to say is left out."),
        error_messages={"required": _("A mail needs a text.")},
    )

    def refuse(self, why: str) -> None:
        """Say why it was not kept, beside the field that it is about."""
        subject: Any = self.cleaned_data.get("subject", "")
        self.add_error("subject" if unknown_placeholders(subject) else "body", why)
