"""Forms of the bench test: a reading, a rework, what runs by itself, the shop's sheet."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.progress.states import STAGES, State
from builds.proving.actions import Entry
from builds.proving.models import Instrument, RunLine, SheetLine
from builds.proving.states import Read, Sheet, Wants
from builds.proving.values import Typed, typed
from shop.web.choices import drop_blank
from shop.web.widgets import Day

_DECIMAL = {"autocomplete": "off", "inputmode": "decimal"}
_STAGES = [(State(stage).value, State(stage).label) for stage in STAGES]


class BeginForm(forms.Form):
    """A run to begin: the newest that was seen, and how much of the sheet is asked."""

    seen = forms.IntegerField(min_value=0, max_value=999)
    sheet = forms.ChoiceField(choices=[("", ""), *Sheet.choices], required=False)
    token = forms.UUIDField()


class ReadingForm(forms.Form):
    """One reading of one line: a figure, or a tap."""

    value = forms.CharField(
        label=_("Reading"), max_length=20, required=False, widget=forms.TextInput(attrs=_DECIMAL)
    )
    instrument = forms.TypedChoiceField(
        label=_("with"), required=False, coerce=int, empty_value=None
    )
    tap = forms.ChoiceField(required=False, choices=[("right", ""), ("wrong", ""), ("all", "")])
    run = forms.IntegerField(widget=forms.HiddenInput)
    seen = forms.IntegerField(widget=forms.HiddenInput)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, line: RunLine, instruments: Sequence[Instrument], **kwargs: Any
    ) -> None:
        super().__init__(*args, **{"auto_id": f"read-{line.pk}-%s", **kwargs})
        self.line = line
        choices = [("", "–"), *((each.pk, each.name) for each in instruments)]
        self.fields["instrument"].choices = choices  # type: ignore[attr-defined]
        self.fields["value"].widget.attrs["aria-label"] = line.name

    def clean_value(self) -> Typed | None:
        """What was typed, as a number in the line's unit."""
        text: str = self.cleaned_data["value"]
        if not text:
            return None
        try:
            return typed(text, self.line.unit)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any]:
        """One of the two is wanted: a tap, or a figure where the line is read in figures."""
        values = super().clean() or self.cleaned_data
        tap, by_eye = values.get("tap"), self.line.read == Read.EYE
        if tap == "all" and self.line.times is not None:
            values["value"] = Typed(str(self.line.times), float(self.line.times))
        if not self.errors and values.get("value") is None and not (by_eye and tap):
            self.add_error("value", gettext("Type what it reads."))
        return values

    @property
    def entry(self) -> Entry:
        """The reading as the action takes it."""
        values = self.cleaned_data
        figure = None if self.line.read == Read.EYE else values["value"]
        is_right = values["tap"] != "wrong"
        return Entry(self.line.pk, figure, is_right, values["instrument"], values["seen"])


class ReworkForm(forms.Form):
    """Where a fail was found and caused, why, and what it took."""

    cause = forms.CharField(label=_("What caused it"), max_length=200)
    caused_in = forms.ChoiceField(label=_("Caused in"), choices=_STAGES, initial=State.INSTALL)
    found_in = forms.ChoiceField(label=_("Found in"), choices=_STAGES, initial=State.TEST)
    minutes = forms.IntegerField(label=_("Minutes to put it right"), min_value=0, max_value=6000)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, reading: int, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"rework-{reading}-%s", **kwargs})


class TimerForm(forms.Form):
    """Something that runs by itself: begun, or read at its end; the cell's voltage with a rest."""

    volts = forms.CharField(
        label=_("Voltage of the cell"), max_length=12, required=False,
        widget=forms.TextInput(attrs=_DECIMAL),
    )  # fmt: skip
    tap = forms.ChoiceField(required=False, choices=[("right", ""), ("wrong", "")])
    run = forms.IntegerField(widget=forms.HiddenInput)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, line: RunLine, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"timer-{line.pk}-%s", **kwargs})
        self.line = line

    def clean_volts(self) -> int | None:
        """Its millivolts."""
        text: str = self.cleaned_data["volts"]
        if not text:
            return None
        try:
            value = typed(text, "V").value
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        if not 0 < value <= 60:
            raise forms.ValidationError(gettext("No cell of a hilt has that. Look at it again."))
        return round(value * 1000)


class LetForm(forms.Form):
    """A line that the owner lets by."""

    line = forms.TypedChoiceField(label=_("Test"), coerce=int)
    reason = forms.CharField(label=_("Why it may pass"), max_length=200)
    run = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, lines: Sequence[RunLine], **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "let-%s", **kwargs})
        self.fields["line"].choices = [  # type: ignore[attr-defined]
            (line.pk, line.name) for line in lines
        ]


class InstrumentForm(forms.Form):
    """The name of something that readings are taken with."""

    name = forms.CharField(label=_("Instrument"), max_length=60)
    checked_on = forms.DateField(
        label=_("Last checked"),
        required=False,
        widget=Day,
        help_text=_("Against something known. Named again with another day, that day counts."),
    )


class LineForm(forms.ModelForm):
    """A test of the shop's sheet."""

    class Meta:
        model = SheetLine
        fields = (
            "name", "how", "caution", "read", "unit", "low", "high", "high_told", "times",
            "minutes", "wants", "in_short", "in_blade", "only_after",
        )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "line-%s", **kwargs})
        own = self.instance.pk
        drop_blank(self, "wants")
        self._of_sort(bool(own))
        others = SheetLine.objects.filter(retired=False).exclude(pk=own)
        self.fields["only_after"] = forms.ChoiceField(
            label=_("tried only after"), required=False,
            choices=[("", "–"), *others.values_list("code", "name")],
        )  # fmt: skip
        if own and self.instance.never_pass:
            for name in set(self.fields) - {"name", "how", "caution"}:
                del self.fields[name]

    def _of_sort(self, is_there: bool) -> None:
        """How a line is read stays as it was; what runs by itself is not made anew."""
        if is_there:
            del self.fields["read"]
            if self.instance.read != Read.TIMED:
                del self.fields["minutes"]
            return
        del self.fields["minutes"]
        choices = [(each.value, each.label) for each in Read if each != Read.TIMED]
        self.fields["read"].choices = choices  # type: ignore[attr-defined]
        self.initial.setdefault("wants", Wants.ANY)

    def clean(self) -> dict[str, Any]:
        """Limits in their order; a count says of how many."""
        values = super().clean() or self.cleaned_data
        low, high, told = (values.get(name) for name in ("low", "high", "high_told"))
        if low is not None and high is not None and low > high:
            self.add_error("high", gettext("At most is below at least."))
        if told is not None and (high is None or told < high):
            self.add_error("high_told", gettext("This is told from the limit above on."))
        is_count = (values.get("read") or self.instance.read) == Read.COUNT
        asks_times = "times" in self.fields and not self.instance.reckons
        if is_count and asks_times and not values.get("times"):
            self.add_error("times", gettext("Say of how many."))
        return values
