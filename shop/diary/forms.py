"""Forms of the shop's week and its closures."""

from collections.abc import Mapping
from datetime import date, time, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dates import WEEKDAYS, WEEKDAYS_ABBR
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.diary import actions
from shop.diary.models import Closure, Weekday
from shop.house.queries import house
from shop.web.dated import dated
from shop.web.widgets import Day, HourField

FARTHEST = timedelta(days=3 * 365)  # a year mistyped would close the shop for good


def _time_field(label: Any, required: bool = False) -> HourField:
    return HourField(label=label, required=required)


def check_hours(form: forms.Form, number: int, opens: time | None, closes: time | None) -> None:
    """Both hours or neither, and closing after opening."""
    names = {f"opens_{number}", f"closes_{number}"}
    if names & set(form.errors):
        return
    if (opens is None) != (closes is None):
        missing = f"opens_{number}" if opens is None else f"closes_{number}"
        form.add_error(missing, _("Give both hours, or leave both empty for a day off."))
    elif opens and closes and opens >= closes:
        form.add_error(f"closes_{number}", _("Closing comes after opening."))


def check_days(first: date | None, last: date | None, today: date) -> None:
    """Days in their order, not over, and not of a mistyped year."""
    if first and last and last < first:
        raise ValidationError(_("The last day comes before the first."))
    if last and last < today:
        raise ValidationError(_("These days are over."))
    if last and last > today + FARTHEST:
        raise ValidationError(_("That day is more than three years away. Look at the year."))


def _in_order() -> list[int]:
    """The days of a week from the one that the shop begins with."""
    first = house().first_day
    return [*range(first, 7), *range(first)]


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
            {"name": WEEKDAYS[number], **{part: self[f"{part}_{number}"] for part in parts}}
            for number in _in_order()
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for number in WEEKDAYS:
            check_hours(self, number, data.get(f"opens_{number}"), data.get(f"closes_{number}"))
        if not any(data.get(f"dispatches_{number}") for number in WEEKDAYS):
            self.add_error(None, _("Choose at least one day on which parcels leave."))
        return data

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


class OwnHoursForm(forms.Form):
    """When somebody works; all left empty: by the shop's hours."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number, name in WEEKDAYS.items():
            self.fields[f"opens_{number}"] = _time_field(_("%(day)s, from") % {"day": name})
            self.fields[f"closes_{number}"] = _time_field(_("%(day)s, to") % {"day": name})

    def rows(self) -> list[dict[str, Any]]:
        """One row a weekday, for the template."""
        return [
            {"name": WEEKDAYS[n], "opens": self[f"opens_{n}"], "closes": self[f"closes_{n}"]}
            for n in _in_order()
        ]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for number in WEEKDAYS:
            check_hours(self, number, data.get(f"opens_{number}"), data.get(f"closes_{number}"))
        return data

    def week(self) -> dict[int, tuple[time, time]]:
        """The hours as typed, by weekday."""
        data = self.cleaned_data
        typed = {n: (data[f"opens_{n}"], data[f"closes_{n}"]) for n in WEEKDAYS}
        return {number: hours for number, hours in typed.items() if hours[0]}


def own_hours_as_kept(week: Mapping[int, tuple[time, time]]) -> dict[str, Any]:
    """Somebody's own hours, for the form."""
    found: dict[str, Any] = {}
    for number, (opens, closes) in week.items():
        found[f"opens_{number}"], found[f"closes_{number}"] = opens, closes
    return found


def week_words(week: Mapping[int, tuple[time, time]]) -> str:
    """Who works when, in a few words: days in a row with the same hours together."""
    runs: list[list[int]] = []
    for number in sorted(week):
        if runs and runs[-1][-1] == number - 1 and week[runs[-1][-1]] == week[number]:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_run_words(run, *week[run[0]]) for run in runs)


def _run_words(run: list[int], opens: time, closes: time) -> str:
    days = str(WEEKDAYS_ABBR[run[0]])
    if len(run) > 1:
        days = gettext("%(first)s to %(last)s") % {"first": days, "last": WEEKDAYS_ABBR[run[-1]]}
    return f"{days} {dated(opens, 'clock')}–{dated(closes, 'clock')}"


class DayOffForm(forms.Form):
    """Days on which somebody does not work."""

    first = forms.DateField(label=_("First day"), widget=Day())
    last = forms.DateField(
        label=_("Last day"), widget=Day(), required=False, help_text=_("Empty: one day only.")
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_last(self) -> date | None:
        first: date | None = self.cleaned_data.get("first")
        last: date | None = self.cleaned_data["last"] or first
        check_days(first, last, self.today)
        return last


class PlannedForm(forms.Form):
    """The share of the day that is planned."""

    percent = forms.IntegerField(
        label=_("Share of the day that is planned, %"),
        min_value=10,
        max_value=100,
        help_text=_("The rest is for the telephone, the post, the broom. Common practice: 80."),
    )


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
        check_days(first, last, self.today)
        return last
