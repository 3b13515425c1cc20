"""Forms of the settings pages that no room below has."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from builds.intake.models import View
from builds.progress.models import Place
from builds.progress.states import ON_THE_RULE
from shop.people.models import User


class ViewForm(forms.ModelForm):
    """A view to photograph."""

    class Meta:
        model = View
        fields = ["label", "stage", "required"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(stage.value, stage.label) for stage in ON_THE_RULE]
        self.fields["stage"] = forms.ChoiceField(
            label=_("Needed to leave"), choices=choices, initial=choices[0][0]
        )


class TraysForm(forms.Form):
    """More trays."""

    how_many = forms.IntegerField(label=_("How many more"), min_value=1, max_value=200, initial=5)


class PlaceNameForm(forms.ModelForm):
    """The name of a shelf or a corner."""

    class Meta:
        model = Place
        fields = ["name"]


class StaffForm(forms.ModelForm):
    """A member of staff."""

    class Meta:
        model = User
        fields = ["name", "email", "role"]
        help_texts = {"role": _("The owner sees money and settings, the bench does not.")}

    def clean_email(self) -> str:
        email = User.objects.normalise(self.cleaned_data["email"])
        if User.objects.filter(email=email).exclude(pk=self.instance.pk).exists():
            raise ValidationError(_("Somebody signs in with this address already."))
        return email


class StaffChangeForm(StaffForm):
    """The same, and whether they still work here."""

    class Meta(StaffForm.Meta):
        fields = [*StaffForm.Meta.fields, "at_bench", "is_active"]
        help_texts = {
            **StaffForm.Meta.help_texts,
            "at_bench": _("Dates reckon with the hours of whoever does."),
        }
