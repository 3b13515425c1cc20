"""Forms of taking apart: ticks, an attempt on a joint, the blade's depth."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.hilts.models import Joint
from builds.teardown.actions import Try
from builds.teardown.models import Came, Inside, Means
from shop.stores.units import millimetres, shown

_CALIPER_MM = 0.5  # what two readings of one depth may differ by
YES_NO = [("yes", _("yes")), ("no", _("no"))]


class TickForm(forms.Form):
    """A tick set or taken back, once for one token."""

    is_out = forms.TypedChoiceField(choices=YES_NO, coerce=lambda value: value == "yes")
    token = forms.UUIDField()


class StepForm(TickForm):
    """A step of taking apart; of one with heat, that a solvent used before has dried off."""

    is_dry = forms.BooleanField(required=False)


class OutForm(TickForm):
    """The cell or the electronics."""

    what = forms.ChoiceField(choices=Inside.choices)


class TryForm(forms.Form):
    """An attempt on a stuck joint."""

    joint = forms.TypedChoiceField(label=_("Joint behind"), coerce=int)
    means = forms.ChoiceField(label=_("Tried"), choices=Means.choices, widget=forms.RadioSelect)
    minutes = forms.IntegerField(label=_("Minutes"), min_value=1, max_value=600)
    celsius = forms.IntegerField(
        label=_("How hot, °C"),
        required=False,
        min_value=1,
        max_value=400,
        help_text=_("with heat alone"),
    )
    is_dry = forms.BooleanField(label=_("the solvent has dried off"), required=False)
    came = forms.ChoiceField(
        label=_("How it ended"), choices=Came.choices, widget=forms.RadioSelect
    )
    words = forms.CharField(label=_("In words"), max_length=200, required=False)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, joints: Sequence[Joint], is_wet: bool, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "try-%s", **kwargs})
        choices = [(joint.pk, joint.section.name) for joint in joints]
        self.fields["joint"].choices = choices  # type: ignore[attr-defined]
        if not is_wet:
            del self.fields["is_dry"]

    @property
    def tried(self) -> Try:
        """The attempt as an action takes it."""
        values = dict(self.cleaned_data)
        names = ("means", "minutes", "came", "celsius", "words")
        return Try(**{name: values[name] for name in names}, is_dry=values.get("is_dry", False))


class DepthForm(forms.Form):
    """How deep a stub tube went in, in the shop's unit or in the one typed with it."""

    depth = forms.CharField(
        label=_("Depth of the stub tube"),
        max_length=14,
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}),
    )
    sure = forms.BooleanField(label=_("Yes, the tube went in that deep"), required=False)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, unit: str, socket_mm: float | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **{"auto_id": "depth-%s", **kwargs})
        self.unit, self.socket_mm, self.is_doubtful = unit, socket_mm, False
        if unit != "mm":
            self.fields["depth"].widget.attrs["inputmode"] = "text"

    def clean_depth(self) -> tuple[float, str]:
        """Its millimetres, and the text of it with a unit."""
        text: str = self.cleaned_data["depth"]
        try:
            value = float(millimetres(text, self.unit))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        return value, f"{text} {self.unit}" if text[-1].isdigit() else text

    def clean(self) -> dict[str, Any]:
        """A tube deeper than the socket was measured is asked about: one of the two is wrong."""
        values = super().clean() or self.cleaned_data
        if self.socket_mm is None or "depth" not in values or values.get("sure"):
            return values
        more = values["depth"][0] - self.socket_mm
        if more > _CALIPER_MM:
            self.is_doubtful = True
            said = gettext("%s deeper than the socket was measured: which is right?")
            self.add_error("depth", said % shown(more, self.unit))
        return values
