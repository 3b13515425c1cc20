"""Forms that move builds."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build, Tray
from builds.progress.queries import free_trays
from builds.progress.states import ENDINGS, STAGES, State


class StartForm(forms.Form):
    """The state that the person saw."""

    expected = forms.ChoiceField(choices=State.choices)


class MoveForm(StartForm):
    """A move's token, and the state that the person saw."""

    token = forms.UUIDField()


class UndoForm(forms.Form):
    """An undo's token."""

    token = forms.UUIDField()


class OtherTrayForm(UndoForm):
    """An undo that needs another tray, because the build's own was given away meanwhile."""

    build = forms.ModelChoiceField(Build.objects.all(), widget=forms.HiddenInput)
    tray = forms.ModelChoiceField(
        Tray.objects.none(), label=_("another tray"), empty_label=_("choose one")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["token"].widget = forms.HiddenInput()
        self.fields["tray"].queryset = free_trays()  # type: ignore[attr-defined]


class BackForm(MoveForm):
    """Rework: back to an earlier stage, with the stage that caused it, and why."""

    to = forms.ChoiceField(label=_("back to"), choices=[(s.value, s.label) for s in STAGES[1:-1]])
    caused_in = forms.ChoiceField(
        label=_("caused in"), choices=[(s.value, s.label) for s in STAGES[1:]]
    )
    reason = forms.CharField(label=_("what went wrong"), max_length=500)


class EndForm(MoveForm):
    """How a build ends other than by post, and why."""

    ending = forms.ChoiceField(
        label=_("it ends"),
        choices=[(s.value, s.label) for s in ENDINGS if s != State.SENT],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label=_("why"),
        max_length=500,
        required=False,
        help_text=_("needed unless it is collected finished"),
    )
