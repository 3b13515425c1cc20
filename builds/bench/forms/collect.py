"""The form of the counter: what goes back, who takes it."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.bench.actions.collect import Handing
from builds.intake.models import Belonging

BACK, STAYS = "back", "stays"


class CollectForm(forms.Form):
    """Who collects a build, that they signed, and each belonging: back, or why it stays."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    expected = forms.CharField(max_length=10, widget=forms.HiddenInput)
    who = forms.CharField(
        label=_("Who collects it?"),
        max_length=80,
        help_text=_("The customer, or whom they sent."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": _("Write down who takes it along.")},
    )
    signed = forms.BooleanField(label=_("Signed on paper"), required=False)
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=300,
        help_text=_("Paid in cash, shown how to charge it: what is worth remembering."),
    )

    def __init__(self, *args: Any, things: Sequence[Belonging], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.things = things
        for thing in things:
            self.fields[f"{BACK}_{thing.pk}"] = forms.BooleanField(
                label=str(thing), required=False, initial=True
            )
            self.fields[f"{STAYS}_{thing.pk}"] = forms.CharField(
                label=_("If it stays: told them why"), required=False, max_length=120
            )

    def pairs(self) -> list[tuple[Belonging, Any, Any]]:
        """Each belonging with its two fields."""
        return [
            (thing, self[f"{BACK}_{thing.pk}"], self[f"{STAYS}_{thing.pk}"])
            for thing in self.things
        ]

    def clean(self) -> dict[str, Any]:
        """Each belonging goes back, or is said why not; not both."""
        fields: dict[str, Any] = super().clean() or {}
        for thing in self.things:
            back, why = fields.get(f"{BACK}_{thing.pk}"), fields.get(f"{STAYS}_{thing.pk}", "")
            if not back and not why:
                self.add_error(f"{STAYS}_{thing.pk}", gettext("Back to them, or why does it stay?"))
            if back and why:
                self.add_error(
                    f"{STAYS}_{thing.pk}", gettext("Ticked as going back. Which of the two is it?")
                )
        return fields

    def handing(self) -> Handing:
        """What was said, as the action takes it."""
        fields = self.cleaned_data
        return Handing(
            who=fields["who"],
            signed=fields["signed"],
            note=fields["note"],
            back=[thing.pk for thing in self.things if fields[f"{BACK}_{thing.pk}"]],
            stays={thing.pk: fields[f"{STAYS}_{thing.pk}"] for thing in self.things},
        )
