"""Forms of the card: a slot, the brightness cap, slots of another build."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from builds.sounds.models import Look, SoundSet
from builds.sounds.queries import MOST
from builds.sounds.words import USUAL


class Colour(forms.TextInput):
    """A colour, by the browser's own chooser."""

    input_type = "color"


class SlotForm(forms.Form):
    """A slot: its place, its name, its colour, its look."""

    place = forms.IntegerField(label=_("Place"), min_value=1, max_value=MOST)
    name = forms.CharField(label=_("Name"), max_length=60)
    usual = forms.ChoiceField(
        label=_("A usual colour"),
        required=False,
        choices=[("", _("as chosen beside")), *USUAL.items()],
    )
    colour = forms.RegexField(
        "^#[0-9a-f]{6}$",
        label=_("Or any colour"),
        widget=Colour,
        error_messages={"invalid": _("A colour looks like #1b4c99.")},
    )
    look = forms.ChoiceField(label=_("Look"), choices=Look.choices, initial=Look.STEADY)
    sound_set_id = forms.TypedChoiceField(
        label=_("Sound set"), coerce=int, required=False, empty_value=None
    )
    music = forms.CharField(label=_("Music"), max_length=120, required=False)

    def __init__(self, *args: Any, sets: Sequence[SoundSet] = (), **kwargs: Any) -> None:
        """:param sets: those that may be used for the customer of the build."""
        super().__init__(*args, **kwargs)
        self.fields["sound_set_id"].choices = [  # type: ignore[attr-defined]
            ("", _("none yet")), *((each.pk, each.name) for each in sets),
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """A usual colour, where one is chosen, is the colour."""
        values = super().clean() or self.cleaned_data
        if usual := values.get("usual"):
            values["colour"] = usual
            self.errors.pop("colour", None)
        return values


class AddForm(SlotForm):
    """A slot to add; the token makes a double tap one slot."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class ChangeForm(SlotForm):
    """A slot to change, with what the person saw of it."""

    seen = forms.CharField(widget=forms.HiddenInput)


class SeenForm(forms.Form):
    """A deed on a slot that asks nothing: what the person saw of it."""

    seen = forms.CharField(max_length=400)


class CapForm(forms.Form):
    """How bright the blade may be at most."""

    percent = forms.IntegerField(
        label=_("At most, in %"),
        min_value=5,
        max_value=100,
        help_text=_("As it is set on the board. Every colour is reckoned at this."),
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)


class CopyForm(forms.Form):
    """Which build's slots to take over."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    source = forms.TypedChoiceField(label=_("From"), coerce=int)

    def __init__(self, *args: Any, like: list[Build], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["source"].choices = [  # type: ignore[attr-defined]
            (build.pk, f"{build.hilt or _('Blade')} · {build}") for build in like
        ]
