"""Forms by which the bench asks a customer: a change order begun, one consent."""

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.orders.actions import CONSENTS
from shop.orders.models import AnswerKind


class ChangeForm(forms.Form):
    """What was found, and how long was worked on it; the price is the owner's."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    because = forms.CharField(
        label=_("What was found, and what changes"),
        max_length=2000,
        help_text=_("The customer reads it. Say what you would do, and what could go wrong."),
        widget=forms.Textarea(attrs={"rows": 5}),
        error_messages={"required": _("Say what was found: the customer decides by it.")},
    )
    minutes = forms.IntegerField(
        label=_("Worked on it so far, minutes"),
        min_value=0,
        max_value=100_000,
        required=False,
        help_text=_("What was noted as tried on its joints stands here already."),
    )


class ConsentForm(forms.Form):
    """One consent, in the words that the customer reads."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    kind = forms.ChoiceField(
        choices=[(kind.value, kind.label) for kind in AnswerKind if kind in CONSENTS],
        widget=forms.HiddenInput,
    )
    words = forms.CharField(
        label=_("In words"),
        max_length=2000,
        help_text=_("Where, why, and what it may leave behind. A yes is a yes to these words."),
        widget=forms.Textarea(attrs={"rows": 5}),
        error_messages={"required": _("They can only agree to what they have read.")},
    )


# What the form begins with; common practice, no source.
BEGINS = {
    AnswerKind.HEAT: _(
        "May we warm a joint that does not come loose by hand? Heat can change dyes, paint, "
        "patina, inserts, seals and lenses."
    ),
    AnswerKind.DRILLING: _(
        "May we drill or cut into the hilt? What is taken away cannot be put back."
    ),
    AnswerKind.FINISH: _(
        "May the finish suffer? Tools and solvents can leave marks on paint, plating or patina "
        "that stay."
    ),
}
