"""A step of taking apart, and the steps that must come off before it."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.hilts.models import Step


class StepForm(forms.Form):
    """What comes off, how, who may do it, and after which others."""

    words = forms.CharField(label=_("What comes off"), max_length=80)
    how = forms.CharField(
        label=_("How"),
        max_length=200,
        required=False,
        help_text=_("tool, which way, how many turns, how tight"),
    )
    firsts = forms.TypedMultipleChoiceField(
        label=_("What must come off first"),
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    for_owner = forms.BooleanField(label=_("the owner may do it"), required=False)
    wants_heat = forms.BooleanField(
        label=_("wants heat"), required=False, help_text=_("then it is not for the owner")
    )
    seen = forms.CharField(max_length=16, required=False, widget=forms.HiddenInput)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, others: Sequence[Step], step: Step | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **{"auto_id": f"t{step.pk if step else 0}-%s", **kwargs})
        choices = [(other.pk, other.words) for other in others if other != step]
        self.fields["firsts"].choices = choices  # type: ignore[attr-defined]
        if not choices:
            del self.fields["firsts"]

    @property
    def facts(self) -> dict[str, Any]:
        """What an action takes."""
        names = ("words", "how", "for_owner", "wants_heat")
        values = self.cleaned_data
        return {**{name: values[name] for name in names}, "firsts": values.get("firsts", [])}
