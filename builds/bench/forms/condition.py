"""Forms for how a hilt looked when it came."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.intake.models import ConditionNote, Grade

SECTIONS = (
    _("emitter"),
    _("neck"),
    _("switch box"),
    _("switches"),
    _("grip"),
    _("body"),
    _("charging port"),
    _("retention screw"),
    _("thread"),
    _("pommel"),
)


class ConditionForm(forms.ModelForm):
    """How a section of the hilt looks. What is sound needs no words."""

    sections = SECTIONS
    words = forms.CharField(
        label=_("In words"),
        max_length=300,
        required=False,
        help_text=_("The customer reads this on their page."),
    )

    class Meta:
        model = ConditionNote
        fields = ["section", "grade", "words"]
        widgets = {
            "grade": forms.RadioSelect,
            "section": forms.TextInput(attrs={"list": "sections", "autocomplete": "off"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["grade"].choices = Grade.choices  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """A fault is described."""
        values = super().clean() or {}
        if values.get("grade") not in {None, Grade.SOUND} and not values.get("words"):
            self.add_error("words", _("Say what is worn, marked or damaged."))
        return values


class MarkForm(ConditionForm):
    """The same, at a point of a photo, in fractions of its width and height."""

    across = forms.FloatField(min_value=0, max_value=1, widget=forms.HiddenInput, required=False)
    down = forms.FloatField(min_value=0, max_value=1, widget=forms.HiddenInput, required=False)

    @property
    def mark(self) -> tuple[float, float] | None:
        """The point, where one was tapped."""
        point = self.cleaned_data["across"], self.cleaned_data["down"]
        return None if None in point else point
