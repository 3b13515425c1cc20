"""The views that a new shop photographs. Entered through builds.intake.actions."""

from django.utils.translation import gettext as _

from builds.intake.models import View
from builds.progress.states import State

DEFAULT_VIEWS = (
    ("box-shut", _("box shut"), State.INTAKE),
    ("box-open", _("box open"), State.INTAKE),
    ("laid-out", _("all laid out"), State.INTAKE),
    ("side-a", _("one side"), State.INTAKE),
    ("side-b", _("other side"), State.INTAKE),
    ("bore-end", _("bore from the end"), State.INTAKE),
    ("chassis", _("chassis, wired"), State.INSTALL),
    ("packed", _("packed box"), State.DISPATCH),
)


def make_default_views() -> None:
    """Give a new shop its views to photograph; it may change them afterwards."""
    View.objects.bulk_create(
        View(code=code, label=label, stage=stage, position=position)
        for position, (code, label, stage) in enumerate(DEFAULT_VIEWS)
    )
