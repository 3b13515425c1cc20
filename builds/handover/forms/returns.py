"""Forms of returns: announced by the staff, decided, told, come to nothing."""

from string import Template

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.handover.actions.returns import Facts, Verdict
from builds.handover.states import CellNow, Covered, Pays
from shop.orders.models import How
from shop.post.wording import LINK, PLACEHOLDERS, Text
from shop.web.widgets import PhotosField, said_at_field, screenshot_field

MOST_SIGNS = 2000
ELSEWHERE = (How.TELEPHONE, How.CHAT, How.PERSON)
SAID_HOW = [choice for choice in How.choices if choice[0] != How.PAGE]


class AnnounceForm(forms.Form):
    """A return that somebody of the staff writes down."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    words = forms.CharField(
        label=gettext_lazy("What is wrong, in the customer’s words"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Say in a few words what is wrong.")},
    )
    # It decides whether the hilt may be posted.
    cell = forms.ChoiceField(
        label=gettext_lazy("The cell, as they see it"),
        choices=CellNow.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Ask how the cell is, and say it.")},
    )
    how = forms.ChoiceField(
        label=gettext_lazy("How it came"),
        choices=SAID_HOW,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say how it came.")},
    )
    photos = PhotosField(label=gettext_lazy("Photos of it"), required=False)

    def facts(self) -> Facts:
        """What was said, as the action takes it."""
        said = self.cleaned_data
        return Facts(said["words"], said["cell"], said["how"])


class VerdictForm(forms.Form):
    """What the shop decides."""

    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    covered = forms.ChoiceField(
        label=gettext_lazy("Does the warranty cover it?"),
        choices=Covered.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say whether it is covered.")},
    )
    because = forms.CharField(
        label=gettext_lazy("Because"),
        max_length=200,
        help_text=gettext_lazy("The customer reads it."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Write down why: the customer reads it.")},
    )
    pays = forms.ChoiceField(
        label=gettext_lazy("Who pays the carriage?"),
        choices=Pays.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say who pays the carriage.")},
    )

    def verdict(self) -> Verdict:
        """What was decided, as the action takes it."""
        said = self.cleaned_data
        return Verdict(said["covered"], said["because"].strip(), said["pays"])


class NothingForm(forms.Form):
    """Why nothing comes of it."""

    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Write down in a few words why.")},
    )


class SaidForm(forms.Form):
    """What was said about a return elsewhere, and how."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    words = forms.CharField(
        label=gettext_lazy("What you said or wrote"),
        max_length=8000,
        widget=forms.Textarea(attrs={"rows": 8}),
    )
    how = forms.ChoiceField(
        label=gettext_lazy("How"),
        choices=[(how.value, how.label) for how in ELSEWHERE],
        widget=forms.RadioSelect,
    )
    said_at = said_at_field()
    screenshot = screenshot_field()

    @property
    def how_words(self) -> str:
        """How it was said, in words."""
        return str(How(self.cleaned_data["how"]).label)


class MessageForm(forms.Form):
    """What is told about a return, open for the last change."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    subject = forms.CharField(
        label=gettext_lazy("Subject"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    body = forms.CharField(
        label=gettext_lazy("Message"),
        max_length=8000,
        widget=forms.Textarea(attrs={"rows": 14}),
        help_text=gettext_lazy("$link becomes the address of the hilt’s own page."),
    )

    def clean_subject(self) -> str:
        """The subject, without a placeholder left standing."""
        typed: str = self.cleaned_data["subject"]
        self._refuse(typed, set())
        return typed

    def clean_body(self) -> str:
        """The text; ``$link`` alone is put in as it leaves."""
        typed: str = self.cleaned_data["body"]
        self._refuse(typed, {LINK})
        return typed

    def _refuse(self, typed: str, may_stand: set[str]) -> None:
        left = [name for name in Template(typed).get_identifiers() if name in PLACEHOLDERS]
        for name in left:
            if name not in may_stand:
                said = _("Nothing is known for $%s. Write in its place what you mean.")
                raise forms.ValidationError(said % name)

    def text(self) -> Text:
        """What leaves."""
        return Text(self.cleaned_data["subject"], self.cleaned_data["body"])
