"""Forms of the shop's week and its closures."""

from datetime import date, time, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext_lazy as _

from shop.diary import actions
from shop.diary.models import Closure, Weekday
from shop.web.widgets import Day, Hour

FARTHEST = timedelta(days=3 * 365)  # a year mistyped would close the shop for good


def _time_field(label: Any, required: bool = False) -> forms.TimeField:
    return forms.TimeField(label=label, required=required, widget=Hour)


class WeekForm(forms.Form):
    """Hours of each weekday, the days on which parcels leave, and the cut-off."""

    cut_off = _time_field(_("Cut-off on a dispatch day"), required=True)
    closed_on_holidays = forms.BooleanField(label=_("Closed on public holidays"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cut_off"].help_text = _("A parcel packed later leaves on the next one.")
        for number, name in WEEKDAYS.items():
            self.fields[f"opens_{number}"] = _time_field(_("%(day)s, opens") % {"day": name})
            self.fields[f"closes_{number}"] = _time_field(_("%(day)s, closes") % {"day": name})
            self.fields[f"dispatches_{number}"] = forms.BooleanField(
                label=_("%(day)s, parcels leave") % {"day": name}, required=False
            )

    def rows(self) -> list[dict[str, Any]]:
        """One row a weekday, for the template."""
        parts = ("opens", "closes", "dispatches")
        return [
            {"name": name, **{part: self[f"{part}_{number}"] for part in parts}}
            for number, name in WEEKDAYS.items()
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for number in WEEKDAYS:
            self._check_hours(number, data.get(f"opens_{number}"), data.get(f"closes_{number}"))
        if not any(data.get(f"dispatches_{number}") for number in WEEKDAYS):
            self.add_error(None, _("Choose at least one day on which parcels leave."))
        return data

    def _check_hours(self, number: int, opens: time | None, closes: time | None) -> None:
        names = {f"opens_{number}", f"closes_{number}"}
        if names & set(self.errors):
            return
        if (opens is None) != (closes is None):
            missing = f"opens_{number}" if opens is None else f"closes_{number}"
            self.add_error(missing, _("Give both hours, or leave both empty for a day off."))
        elif opens and closes and opens >= closes:
            self.add_error(f"closes_{number}", _("Closing comes after opening."))

    def days(self) -> list[actions.Day]:
        """The week as typed."""
        data = self.cleaned_data
        return [
            actions.Day(n, data[f"opens_{n}"], data[f"closes_{n}"], data[f"dispatches_{n}"])
            for n in WEEKDAYS
        ]


def week_as_typed(week: list[Weekday]) -> dict[str, Any]:
    """The week as it stands, for the form."""
    found: dict[str, Any] = {}
    for day in week:
        found[f"opens_{day.weekday}"] = day.opens
        found[f"closes_{day.weekday}"] = day.closes
        found[f"dispatches_{day.weekday}"] = day.dispatches
    return found


def common_week() -> dict[str, Any]:
    """A week to begin with: Monday to Friday, parcels on Monday and Friday."""
    found: dict[str, Any] = {"cut_off": time(15), "closed_on_holidays": True}
    for number in range(5):
        found[f"opens_{number}"], found[f"closes_{number}"] = time(9), time(17, 30)
        found[f"dispatches_{number}"] = number in (0, 4)
    return found


class ClosureForm(forms.ModelForm):
    """Days on which the shop is closed."""

    class Meta:
        model = Closure
        fields = ["first", "last", "reason"]
        labels = {"last": _("Last day"), "reason": _("Reason, for yourself")}
        help_texts = {"last": _("Empty: one day only.")}
        widgets = {"first": Day(), "last": Day()}

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["last"].required = False

    def clean_last(self) -> date | None:
        first: date | None = self.cleaned_data.get("first")
        last: date | None = self.cleaned_data["last"] or first
        if first and last and last < first:
            raise ValidationError(_("The last day comes before the first."))
        if last and last < self.today:
            raise ValidationError(_("These days are over."))
        if last and last > self.today + FARTHEST:
            raise ValidationError(_("That day is more than three years away. Look at the year."))
        return last
