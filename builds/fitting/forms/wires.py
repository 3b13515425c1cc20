"""The form of one wire."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.engineering.wire import gauge_number
from builds.fitting.forms.fields import TokenForm
from builds.fitting.models import Carries, WireRun
from builds.fitting.queries.wiring import gauge_shown
from builds.fitting.values import Wire
from shop.stores.forms.choosing import LengthField, length_typed
from shop.stores.models import Part
from shop.web.choices import read_choices

_TYPED = {"autocomplete": "off", "spellcheck": "false"}
THINNEST = 40


class WireForm(forms.Form):
    """A wire as somebody writes it down."""

    starts = forms.CharField(
        label=gettext_lazy("from"), max_length=60, widget=forms.TextInput(attrs={"list": "ends"})
    )
    ends = forms.CharField(
        label=gettext_lazy("to"), max_length=60, widget=forms.TextInput(attrs={"list": "ends"})
    )
    carries = forms.ChoiceField(label=gettext_lazy("carries"), choices=Carries.choices)
    gauge = forms.CharField(
        label=gettext_lazy("gauge, AWG"), max_length=6,
        widget=forms.TextInput(attrs={**_TYPED, "inputmode": "numeric"}),
    )  # fmt: skip
    parallel = forms.IntegerField(
        label=gettext_lazy("side by side"), min_value=1, max_value=12, initial=1
    )
    colour = forms.CharField(
        label=gettext_lazy("colour"), max_length=30, required=False,
        widget=forms.TextInput(attrs=_TYPED),
    )  # fmt: skip
    part = forms.ModelChoiceField(
        Part.objects.filter(kind="wire", counted="mm", retired=False),
        label=gettext_lazy("cut from, in the stores"), required=False,
        empty_label=gettext_lazy("not from the stores"),
    )  # fmt: skip

    field_order = (
        "token", "starts", "ends", "carries", "gauge", "length", "spare", "parallel", "colour",
        "part",
    )  # fmt: skip

    def __init__(self, *args: Any, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        spare = _("added for stripping, %s") % unit
        self.fields["length"] = LengthField(unit=unit, label=_("one way, %s") % unit)
        self.fields["spare"] = LengthField(unit=unit, label=spare, least=0)
        self.order_fields(self.field_order)
        read_choices(self, "part")

    def clean_gauge(self) -> int:
        """The gauge as a whole number; 0000 is -3."""
        try:
            gauge = gauge_number(self.cleaned_data["gauge"])
        except ValueError:
            gauge = THINNEST + 1
        if gauge > THINNEST:
            raise forms.ValidationError(_("Type a gauge such as 22, from 0000 to 40."))
        return gauge

    def wire(self) -> Wire:
        """What was typed."""
        values = self.cleaned_data
        return Wire(
            starts=values["starts"], ends=values["ends"], carries=values["carries"],
            gauge=values["gauge"], length_mm=values["length"], spare_mm=values["spare"],
            parallel=values["parallel"], colour=values["colour"], part=values["part"],
        )  # fmt: skip


class NewWireForm(TokenForm, WireForm):
    """A wire to list, once for one filling-in."""


def typed(run: WireRun, unit: str) -> dict[str, Any]:
    """A wire as it stands in the fields of its form."""
    return {
        "starts": run.starts, "ends": run.ends, "carries": run.carries,
        "gauge": gauge_shown(run.gauge), "length": length_typed(run.length_mm, unit),
        "spare": length_typed(run.spare_mm, unit), "parallel": run.parallel,
        "colour": run.colour, "part": run.part_id,
    }  # fmt: skip
