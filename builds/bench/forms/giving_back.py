"""What came along and goes back to its owner: a tick each, or why it stays."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.intake.models import Belonging

BACK, STAYS = "back", "stays"


class GivingBack(forms.Form):
    """Each belonging: back to them, which is expected, or why it stays."""

    def __init__(self, *args: Any, things: Sequence[Belonging], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.things = things
        for thing in things:
            self.fields[f"{BACK}_{thing.pk}"] = forms.BooleanField(
                label=str(thing), required=False, initial=True
            )
            self.fields[f"{STAYS}_{thing.pk}"] = forms.CharField(
                label=_("%s, if it stays: told them why") % thing.what,
                required=False,
                max_length=120,
            )

    def pairs(self) -> list[tuple[Belonging, Any, Any]]:
        """Each belonging with its two fields."""
        return [
            (thing, self[f"{BACK}_{thing.pk}"], self[f"{STAYS}_{thing.pk}"])
            for thing in self.things
        ]

    def check_things(self, fields: dict[str, Any]) -> None:
        """Each belonging goes back, or is said why not; not both."""
        for thing in self.things:
            back, why = fields.get(f"{BACK}_{thing.pk}"), fields.get(f"{STAYS}_{thing.pk}", "")
            if not back and not why:
                self.add_error(f"{STAYS}_{thing.pk}", gettext("Back to them, or why does it stay?"))
            if back and why:
                self.add_error(
                    f"{STAYS}_{thing.pk}", gettext("Ticked as going back. Which of the two is it?")
                )

    def back(self) -> list[int]:
        """Those that go back, by id."""
        return [thing.pk for thing in self.things if self.cleaned_data[f"{BACK}_{thing.pk}"]]

    def stays(self) -> dict[int, str]:
        """What was told of each that stays."""
        return {thing.pk: self.cleaned_data[f"{STAYS}_{thing.pk}"] for thing in self.things}
