"""The views that the shop wants photographed. Entered through builds.intake.actions."""

from datetime import datetime

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from builds.intake.models import View
from builds.progress.states import State
from shop.history.actions import record
from shop.people.models import User

DEFAULT_VIEWS = (
    ("box-shut", gettext_noop("box shut"), State.INTAKE),
    ("box-open", gettext_noop("box open"), State.INTAKE),
    ("laid-out", gettext_noop("all laid out"), State.INTAKE),
    ("side-a", gettext_noop("one side"), State.INTAKE),
    ("side-b", gettext_noop("other side"), State.INTAKE),
    ("bore-end", gettext_noop("bore from the end"), State.INTAKE),
    ("chassis", gettext_noop("chassis, wired"), State.INSTALL),
    ("packed", gettext_noop("packed box"), State.DISPATCH),
)


def make_default_views() -> None:
    """Give a new shop its views to photograph; it may change them afterwards."""
    View.objects.bulk_create(
        View(code=code, label=_(label), stage=stage, position=position)
        for position, (code, label, stage) in enumerate(DEFAULT_VIEWS)
    )


@transaction.atomic
def add_view(*, label: str, stage: str, required: bool, by: User, now: datetime) -> View:
    """Ask for one more view, after the others of its stage."""
    last = View.objects.order_by("-position").first()
    view = View.objects.create(
        code=_free_code(label),
        label=label,
        stage=stage,
        required=required,
        position=last.position + 1 if last else 1,
    )
    record("view_added", f"view:{view.pk}", by, now)
    return view


def _free_code(label: str) -> str:
    stem = slugify(label).replace("-", "_")[:24] or "view"
    taken = set(View.objects.filter(code__startswith=stem).values_list("code", flat=True))
    numbered = (f"{stem}_{n}" for n in range(2, len(taken) + 3))
    return stem if stem not in taken else next(code for code in numbered if code not in taken)


@transaction.atomic
def change_view(
    view_pk: int, *, label: str, stage: str, required: bool, by: User, now: datetime
) -> View:
    """Change a view's words, the stage that asks for it, or whether it must be there."""
    view = View.objects.select_for_update().get(pk=view_pk)
    view.label, view.stage, view.required = label, stage, required
    view.save(update_fields=["label", "stage", "required"])
    record("view_changed", f"view:{view.pk}", by, now, stage=stage, required=required)
    return view


@transaction.atomic
def retire_view(view_pk: int, retired: bool, *, by: User, now: datetime) -> View:
    """Ask for a view no more, or again. Its photos stay."""
    view = View.objects.select_for_update().get(pk=view_pk)
    view.retired = retired
    view.save(update_fields=["retired"])
    record("view_retired" if retired else "view_back", f"view:{view.pk}", by, now)
    return view


@transaction.atomic
def move_view(view_pk: int, *, earlier: bool, by: User, now: datetime) -> None:
    """Change places with the neighbour in the same stage; at the end nothing happens."""
    moved = View.objects.select_for_update().get(pk=view_pk)
    row = list(View.objects.select_for_update().filter(stage=moved.stage, retired=False))
    place = row.index(moved) if moved in row else -1
    other = place - 1 if earlier else place + 1
    if place < 0 or not 0 <= other < len(row):
        return
    row[place], row[other] = row[other], row[place]
    for position, view in enumerate(row, start=1):
        view.position = position
    View.objects.bulk_update(row, ["position"])
    record("view_moved", f"view:{moved.pk}", by, now, earlier=earlier)
