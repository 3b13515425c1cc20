"""Forms of the time worked."""

import re
from collections.abc import Sequence
from typing import Any
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.bench.queries.working import Line
from builds.progress.models import Build, Stretch
from builds.progress.states import MOST_MINUTES, ON_THE_RULE, Spent, State, is_earlier

_HOURS = re.compile(r"(\d{1,2}):([0-5]\d)")


class Minutes(forms.CharField):
    """A length of time, in minutes or as hours and minutes."""

    def clean(self, value: Any) -> Any:
        typed = super().clean(value).strip()
        clock = _HOURS.fullmatch(typed)
        if clock:
            minutes = 60 * int(clock[1]) + int(clock[2])
        elif typed.isascii() and typed.isdigit() and len(typed) <= 4:
            minutes = int(typed)
        else:
            raise ValidationError(_("Write minutes, as 90, or hours and minutes, as 1:30."))
        if minutes > MOST_MINUTES:
            raise ValidationError(_("One stretch of work is a day long at most."))
        return minutes


class BeginForm(forms.Form):
    """The state that the person saw, and what the time is spent on where it was chosen."""

    expected = forms.ChoiceField(choices=State.choices)
    token = forms.UUIDField()
    spent_on = forms.ChoiceField(choices=Spent.choices, required=False)


class WorkForm(forms.Form):
    """How long something took, in which stage, and on what."""

    minutes = Minutes(
        label=gettext_lazy("How long"),
        max_length=20,
        help_text=gettext_lazy("Minutes, as 90, or hours and minutes, as 1:30."),
    )
    stage = forms.ChoiceField(label=gettext_lazy("Stage"))
    spent_on = forms.ChoiceField(
        label=gettext_lazy("Spent on"), choices=Spent.choices, initial=Spent.WORK
    )

    def __init__(self, *args: Any, build: Build, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        reached = [stage for stage in ON_THE_RULE if not _lies_ahead(build, stage)]
        stages = reached or list(ON_THE_RULE)
        self.fields["stage"] = forms.ChoiceField(
            label=_("Stage"), choices=[(stage.value, stage.label) for stage in stages]
        )
        self.order_fields(["minutes", "stage", "spent_on"])
        self.fields["minutes"].widget.attrs["inputmode"] = "text"


class AddWorkForm(WorkForm):
    """Work that no timer saw; the token makes a double tap one line."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class RightForm(WorkForm):
    """A stretch put right, and when it had last been on the page that was shown."""

    seen = forms.DateTimeField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, stretch: Stretch, **kwargs: Any) -> None:
        super().__init__(*args, build=stretch.build, prefix=f"work-{stretch.pk}", **kwargs)
        self.stretch = stretch


def add_form(build: Build) -> AddWorkForm:
    """A fresh form for work that no timer saw."""
    stage = build.state if build.state in ON_THE_RULE else State.INSTALL
    return AddWorkForm(build=build, initial={"token": uuid4(), "stage": stage})


def with_forms(
    lines: Sequence[Line], bound: forms.BaseForm | None
) -> list[tuple[Line, RightForm | None]]:
    """Each stretch, and the form that puts it right, for whoever may; one may have come back."""
    return [(line, _right_form(line, bound)) for line in lines]


def _right_form(line: Line, bound: forms.BaseForm | None) -> RightForm | None:
    stretch = line.stretch
    if isinstance(bound, RightForm) and bound.stretch.pk == stretch.pk:
        return bound
    if not line.may_put_right:
        return None
    initial = {
        "minutes": f"{line.likely // 60}:{line.likely % 60:02d}",
        "stage": stretch.stage,
        "spent_on": stretch.spent_on,
        "seen": stretch.said_at.isoformat() if stretch.said_at else "",
    }
    return RightForm(stretch=stretch, initial=initial)


def _lies_ahead(build: Build, stage: State) -> bool:
    return build.state in State.values and build.is_open and is_earlier(build.state, stage)
