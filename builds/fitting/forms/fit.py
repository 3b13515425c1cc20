"""What the fit page asks: where a part sits, and what is put in the place of one."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.fitting.models import BuildPart
from builds.hilts.models import Section
from shop.stores.models import Part


class PlaceForm(forms.Form):
    """Where a part sits: its section, its order from the blade's end, what it lies on."""

    section = forms.TypedChoiceField(label=_("sits in"), coerce=int, required=True)
    position = forms.IntegerField(label=_("place from the blade's end"), min_value=0, max_value=99)
    lies_on = forms.TypedChoiceField(
        label=_("lies on"), coerce=int, required=False, empty_value=None
    )

    def __init__(
        self, *args: Any, sections: Sequence[Section], others: Sequence[BuildPart], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._sections = {each.pk: each for each in sections}
        self._others = {each.pk: each for each in others}
        rooms = [("", _("choose")), *((each.pk, each.name) for each in sections)]
        under = [("", _("nothing")), *((each.pk, each.name) for each in others)]
        self.fields["section"].choices = rooms  # type: ignore[attr-defined]
        self.fields["lies_on"].choices = under  # type: ignore[attr-defined]

    @property
    def place(self) -> tuple[Section, int, BuildPart | None]:
        """What was said, as the deed wants it."""
        said = self.cleaned_data
        under = self._others.get(said["lies_on"] or 0)
        return self._sections[said["section"]], said["position"], under


class SwapForm(forms.Form):
    """A part of the stores in the place of another."""

    part = forms.ModelChoiceField(Part.objects.filter(retired=False))
    token = forms.UUIDField(widget=forms.HiddenInput)
