"""Forms that move builds."""

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Tray
from builds.progress.states import ENDINGS, STAGES, State


class StartForm(forms.Form):
    """The state that the person saw."""

    expected = forms.ChoiceField(choices=State.choices)


class MoveForm(StartForm):
    """A move's token, and the state that the person saw."""

    token = forms.UUIDField()


class UndoForm(forms.Form):
    """An undo's token; a tray when the old one was given away."""

    token = forms.UUIDField()
    tray = forms.ModelChoiceField(Tray.objects.filter(retired=False), required=False)


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
