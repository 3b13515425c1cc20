"""What the fit page asks: where a part sits, and what is put in the place of one."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.fitting.actions.placing import Placing
from builds.fitting.forms.fields import LONGEST_MM, StartsField
from builds.fitting.models import BuildPart
from builds.hilts.models import Section
from shop.stores.models import Part
from shop.web.figures import AnyFloat


class PlaceForm(forms.Form):
    """Where a part sits: its section, its order from the blade's end, what it lies on."""

    section = forms.TypedChoiceField(label=_("sits in"), coerce=int, required=True)
    position = forms.IntegerField(label=_("order from the blade's end"), min_value=0, max_value=999)
    lies_on = forms.TypedChoiceField(
        label=_("lies on"), coerce=int, required=False, empty_value=None
    )

    def __init__(
        self,
        *args: Any,
        row: BuildPart,
        unit: str,
        sections: Sequence[Section],
        others: Sequence[BuildPart],
        **kwargs: Any,
    ) -> None:
        # One of several rows: what nobody touched asks for nothing.
        super().__init__(*args, **kwargs)
        self.empty_permitted, self.use_required_attribute = True, False
        self._row = row
        self.fields["starts_mm"] = StartsField(unit=unit)
        self._sections = {each.pk: each for each in sections}
        rooms = [("", _("choose")), *((each.pk, each.name) for each in sections)]
        under = [("", _("nothing")), *((each.pk, each.name) for each in others)]
        self.fields["section"].choices = rooms  # type: ignore[attr-defined]
        self.fields["lies_on"].choices = under  # type: ignore[attr-defined]

    @property
    def placing(self) -> Placing:
        """What was said, as the deed wants it."""
        said = self.cleaned_data
        section = self._sections[said["section"]]
        return Placing(self._row, section, said["position"], said["lies_on"], said["starts_mm"])


class BehindForm(forms.Form):
    """How far behind its section's front edge a part is put, in mm."""

    starts_mm = AnyFloat(min_value=0, max_value=LONGEST_MM)


class SwapForm(forms.Form):
    """A part of the stores in the place of another."""

    part = forms.ModelChoiceField(Part.objects.filter(retired=False))
    token = forms.UUIDField(widget=forms.HiddenInput)
