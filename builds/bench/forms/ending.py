"""The form by which a build ends unfinished: how, which way its hilt goes back, what goes along."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from builds.bench.forms.giving_back import GivingBack
from builds.bench.queries.collect import is_here, owed
from builds.gates.conditions import Condition
from builds.intake.models import Belonging
from builds.progress.models import Build
from builds.progress.states import ENDINGS, FINISHED, Leaves, State

_HOW = _("Say in a few words why it ends unfinished.")
_WAYS = [
    (Leaves.COLLECTION.value, pgettext_lazy("a hilt goes back", "in person")),
    (Leaves.POST.value, pgettext_lazy("a hilt goes back", "by post")),
]


class EndForm(GivingBack):
    """How a build ends unfinished, and why. What is finished leaves by its parcel or its counter.

    ``lacks`` is what the gate missed, where it refused.
    """

    token = forms.UUIDField()
    expected = forms.ChoiceField(choices=State.choices)
    ending = forms.ChoiceField(
        label=_("it ends"),
        choices=[(s.value, s.label) for s in ENDINGS if s not in FINISHED],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(label=_("why"), max_length=500, error_messages={"required": _HOW})
    goes = forms.ChoiceField(
        label=_("how it goes back"),
        choices=_WAYS,
        widget=forms.RadioSelect,
        error_messages={"required": _("Say how it goes back: in person, or by post.")},
    )
    lacks: Sequence[Condition] = ()

    def __init__(
        self, *args: Any, build: Build, things: Sequence[Belonging], is_here: bool, **kwargs: Any
    ) -> None:
        kwargs.setdefault("initial", {"goes": build.leaves_by})
        super().__init__(*args, things=things, **kwargs)
        self.is_here = is_here
        if not is_here:
            del self.fields["goes"]
        elif self.data.get(self.add_prefix("ending")) == State.ABANDONED:
            self.fields["goes"].required = False

    def clean(self) -> dict[str, Any]:
        """What goes back is asked for; of what stays here nothing is."""
        fields: dict[str, Any] = super().clean() or {}
        if self.goes_back(fields):
            self.check_things(fields)
        return fields

    def goes_back(self, fields: dict[str, Any]) -> bool:
        """Whether its owner gets it back."""
        return fields.get("ending") in {State.RETURNED, State.WITHDRAWN}


def end_form(build: Build, data: Any = None) -> EndForm:
    """The form of a build, with what came along."""
    return EndForm(data, prefix="end", build=build, things=owed(build), is_here=is_here(build))
