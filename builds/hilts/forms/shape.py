"""Sections, joints and holes as somebody types them in."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.hilts.actions import Reading
from builds.hilts.forms.fields import AngleField, PitchField, reading
from builds.hilts.forms.measuring import hole_fields
from builds.hilts.models import Section
from builds.hilts.states import HoleFor, JointKind, MeasuredThing

USUAL = (
    ("emitter", gettext_lazy("emitter")),
    ("neck", gettext_lazy("neck")),
    ("body", gettext_lazy("body")),
    ("ring", gettext_lazy("ring")),
    ("grip", gettext_lazy("grip")),
    ("pommel", gettext_lazy("pommel")),
)


class TokenForm(forms.Form):
    """A deed that asks nothing else: its token."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class SeenForm(TokenForm):
    """A deed on what a person saw."""

    seen = forms.CharField(max_length=16, widget=forms.HiddenInput)


class MoveForm(SeenForm):
    """To which place a section goes."""

    to = forms.IntegerField(min_value=1, max_value=99)


class NewSectionForm(TokenForm):
    """A section to add at the pommel's end: a usual name by tap, or any other."""

    name = forms.CharField(label=gettext_lazy("Another name"), max_length=40, required=False)
    usual = forms.ChoiceField(choices=USUAL, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "new-%s", **kwargs})

    def clean(self) -> dict[str, Any]:
        """A name, one way or the other."""
        values = super().clean() or self.cleaned_data
        usual = dict(USUAL).get(values.get("usual") or "")
        values["name"] = str(usual) if usual else values.get("name", "")
        if not self.errors and not values["name"]:
            self.add_error("name", _("Give the section a name."))
        return values


class SectionForm(SeenForm):
    """What a section is called, and whether the blade goes into it."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=40)
    holds_blade = forms.BooleanField(
        label=gettext_lazy("the blade’s socket is in it"), required=False
    )
    blade_screw = forms.CharField(
        label=gettext_lazy("Retention screw"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("thread and key, such as 8-32, 5/64 in key"),
    )
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, section: Section, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"c{section.pk}-%s", **kwargs})


class JointForm(SeenForm):
    """What holds a section to the one behind it, with its pitch and where it stops when tight."""

    kind = forms.ChoiceField(
        label=gettext_lazy("Held by"), choices=JointKind.choices, widget=forms.RadioSelect
    )
    stuck = forms.BooleanField(label=gettext_lazy("stuck"), required=False)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, section: Section, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"j{section.pk}-%s", **kwargs})
        self.fields["pitch"] = PitchField(
            unit=unit, label=_("Thread’s pitch"), help_text=_("1.25 mm or 20 tpi")
        )
        self.fields["clock"] = AngleField(
            label=_("Clock position when tight, degrees"),
            help_text=_("seen from the blade’s end, 0 is the top"),
        )
        self.order_fields(["kind", "stuck", "pitch", "clock", "note"])

    @property
    def readings(self) -> dict[str, Reading]:
        """What was measured of the joint."""
        things = {"pitch": MeasuredThing.PITCH, "clock": MeasuredThing.CLOCK}
        values = self.cleaned_data
        return {
            thing.value: reading(values[name]) for name, thing in things.items() if values[name]
        }


class HoleForm(TokenForm):
    """A hole to write down, with where it is."""

    what = forms.ChoiceField(
        label=gettext_lazy("For"), choices=HoleFor.choices, widget=forms.RadioSelect
    )
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, section: Section, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"o{section.pk}-%s", **kwargs})
        self.fields |= hole_fields(unit)
        self.order_fields(["what", "diameter", "from_front", "around", "note"])
