"""An answer by mail, and a note of what was said elsewhere."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import SAID_HOW, text_field, token_field
from shop.orders.models import How
from shop.web.widgets import said_at_field, screenshot_field

MOST_SIGNS = 8000


class AnswerForm(forms.Form):
    """The mail that answers a question."""

    token = token_field()
    subject = forms.CharField(label=_("Subject"), max_length=200)
    body = text_field(
        _("Message"),
        14,
        _("$link becomes the address of the customer's own page."),
        max_length=MOST_SIGNS,
    )


class SaidForm(forms.Form):
    """What was said, to whom, how and when."""

    token = token_field()
    about = forms.ChoiceField(label=_("With whom, about what"))
    how = forms.ChoiceField(label=_("How"), choices=SAID_HOW, widget=forms.RadioSelect)
    said_at = said_at_field()
    words = text_field(_("What was said"), 6, max_length=MOST_SIGNS)
    screenshot = screenshot_field()

    def __init__(self, choices: Sequence[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["about"] = forms.ChoiceField(
            label=_("With whom, about what"), choices=[("", _("Choose")), *choices]
        )

    @property
    def how_words(self) -> str:
        """How it was said, in words."""
        return str(How(self.cleaned_data["how"]).label)
