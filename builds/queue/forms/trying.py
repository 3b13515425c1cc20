"""What may be tried on the line. The same fields stand in the address and in what is kept."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from builds.progress.states import Kind
from builds.queue.effects import AFTER, DOWN, FIRST, UP
from builds.queue.queries.trials import awaited, is_off, line_words, next_off, usual_hours
from builds.queue.values import Line, Worker
from shop.web.figures import AnyDecimal
from shop.web.widgets import Day, HourField

FARTHEST = timedelta(days=365)  # an extra day, and how late a part may be


class MoveForm(forms.Form):
    """Where in the line a build goes."""

    to = forms.ChoiceField(choices=[(each, each) for each in (UP, DOWN, FIRST, AFTER)])
    after = forms.IntegerField(min_value=1, max_value=10**9, required=False)


class KeepOrderForm(MoveForm):
    """The same, and the line as the page showed it."""

    token = forms.UUIDField()
    seen = forms.CharField(max_length=40_000)

    def clean_seen(self) -> list[int]:
        parts = self.cleaned_data["seen"].split(",")
        if not all(part.isdecimal() and len(part) < 19 for part in parts):
            raise ValidationError("no line")
        return [int(part) for part in parts]


class ExtraDayForm(forms.Form):
    """Somebody works on a day that is off."""

    person = forms.TypedChoiceField(label=_("Who"), coerce=int)
    day = forms.DateField(label=_("Day"), widget=Day())
    opens = HourField(label=_("From"))
    closes = HourField(label=_("To"))

    def __init__(self, *args: Any, line: Line, me: int = 0, **kwargs: Any) -> None:
        workers = {each.pk: each for each in line.workers}
        first = workers.get(me) or next(iter(line.workers), None)
        begins: dict[str, Any] = {}
        if first:
            opens, closes = usual_hours(line, first)
            begins = {
                "person": first.pk, "day": next_off(line, first), "opens": opens, "closes": closes,
            }  # fmt: skip
        kwargs.setdefault("initial", begins)
        super().__init__(*args, **kwargs)
        self.line, self.workers = line, workers
        self.fields["person"].choices = [  # type: ignore[attr-defined]
            (each.pk, each.name) for each in line.workers
        ]

    @property
    def worker(self) -> Worker:
        """Who was chosen."""
        return self.workers[self.cleaned_data["person"]]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        opens, closes, day = data.get("opens"), data.get("closes"), data.get("day")
        if opens and closes and opens >= closes:
            self.add_error("closes", _("The end comes after the beginning."))
        if day:
            self._check(day, data.get("person"))
        return data

    def _check(self, day: date, person: int | None) -> None:
        today = self.line.calendar.today(self.line.now)
        if day < today:
            self.add_error("day", _("That day is past."))
        elif day > today + FARTHEST:
            self.add_error("day", _("That day is more than a year away. Look at the year."))
        elif person in self.workers and not self._may_be_extra(self.workers[person], day):
            self.add_error("day", _("That is a working day already. Choose a day off."))

    def _may_be_extra(self, worker: Worker, day: date) -> bool:
        """A day off; or one that is worked on top already, for other hours."""
        return day in worker.extra or is_off(self.line, worker, day)


class ClosedForm(forms.Form):
    """The shop is closed for some days."""

    first = forms.DateField(label=_("First day"), widget=Day())
    last = forms.DateField(label=_("Last day"), widget=Day())

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        monday = today + timedelta(days=7 - today.weekday())
        begins = {"first": monday, "last": monday + timedelta(days=6)}
        kwargs.setdefault("initial", begins)
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_last(self) -> date | None:
        first: date | None = self.cleaned_data.get("first")
        last: date | None = self.cleaned_data["last"]
        if first and first < self.today:
            raise ValidationError(_("Days that are past cannot be closed any more."))
        if first and last and last < first:
            raise ValidationError(_("The last day comes before the first."))
        if last and last > self.today + FARTHEST:
            raise ValidationError(_("That day is more than a year away. Look at the year."))
        return last


class HandsForm(forms.Form):
    """One more at the bench for some hours of each working day."""

    hours = AnyDecimal(
        label=_("Hours a day"),
        min_value=0.5,
        max_value=12,
        decimal_places=1,
        initial=2,
        error_messages={
            "min_value": _("Hours a day: write half an hour or more."),
            "max_value": _("Hours a day: write %(limit_value)s at most."),
        },
    )


class LateForm(forms.Form):
    """A part that is awaited comes later."""

    line = forms.TypedChoiceField(label=_("Which part"), coerce=int)
    days = forms.IntegerField(
        label=_("Days late"),
        min_value=1,
        max_value=FARTHEST.days,
        initial=10,
        error_messages={
            "min_value": _("Days late: write %(limit_value)s or more."),
            "max_value": _("Days late: write %(limit_value)s at most."),
        },
    )

    def __init__(self, *args: Any, line: Line, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {each.pk: each for each in awaited(line)}
        self.fields["line"].choices = [  # type: ignore[attr-defined]
            (each.pk, line_words(line, each)) for each in self.rows.values()
        ]


class KeepForm(forms.Form):
    """A form that was shown once, and the expected day that stood on it."""

    token = forms.UUIDField()
    seen = forms.DateField(required=False)


class KindForm(forms.Form):
    """A kind of job."""

    kind = forms.ChoiceField(label=_("Kind of job"), choices=Kind)
