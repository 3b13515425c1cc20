"""Takes an import back: everything it made, unless something was built on it since."""

from collections.abc import Callable, Mapping
from datetime import datetime
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.gates import actions as gates
from builds.importing.actions.begun import TASK, locked, move_to
from builds.importing.actions.refused import Refused
from builds.importing.actions.working import claim, still
from builds.importing.models import Import, Made
from builds.importing.queries.obstacles import Obstacle, obstacles
from builds.importing.states import How, State
from builds.progress import actions as progress
from builds.progress.models import Build
from builds.progress.states import State as Stage
from shop.history.actions import record
from shop.house.models import House
from shop.house.speech import speaking_to_the_shop
from shop.people.actions import remove_customers
from shop.people.models import User
from shop.stores.actions import Refused as StoresRefused
from shop.stores.actions.parts import retire_part
from shop.stores.actions.stock import count
from shop.stores.actions.suppliers import retire_supplier
from shop.stores.models import Part, StockLevel
from shop.web.wake import wake


class InTheWay(Refused):
    """Something was built on what it made; carries what, by row."""

    def __init__(self, found: list[Obstacle]) -> None:
        self.found = found
        super().__init__(_("It cannot be taken back: something was built on it since."))


@transaction.atomic
def take_back(import_id: int, *, by: User, now: datetime) -> Import:
    """Have an import taken back. Asked twice, or by two at once, it is taken back once.

    :raises InTheWay: with everything that stands in the way.
    """
    one = locked(import_id)
    if one.state in {State.UNDOING, State.UNDONE}:
        return one
    if one.state != State.KEPT:
        raise Refused(_("It is not in the books, so there is nothing to take back."))
    found = obstacles(one)
    if found:
        raise InTheWay(found)
    one.undone_by, one.problem = by, ""
    move_to(one, State.UNDOING, now)
    wake(TASK, one.pk)
    return one


def undo(import_id: int, now: datetime) -> bool:
    """Take one import back, whole or not at all; whether it was taken back just now."""
    one = claim(import_id, State.UNDOING, now)
    if one is None:
        return False
    try:
        return _undo_all(one, now)
    except (InTheWay, gates.Refused, progress.Refused, StoresRefused) as error:
        _stays(one, str(error), now)
        return False


@transaction.atomic
def _stays(one: Import, why: str, now: datetime) -> None:
    mine = still(one)
    if mine:
        mine.problem = why[:300]
        move_to(mine, State.KEPT, now)


@transaction.atomic
def _undo_all(one: Import, now: datetime) -> bool:
    House.objects.select_for_update().filter(id=1).first()
    mine = still(one)
    if mine is None or mine.undone_by is None:
        return False
    one, by = mine, mine.undone_by
    found = obstacles(one)
    if found:
        raise InTheWay(found)
    made = list(one.made.order_by("-pk"))
    _remove_customers(one, made, by, now)
    for each in made:
        room = each.about.partition(":")[0]
        if room in _BACK:
            _BACK[room](one, each, by, now)
    one.undone_at = now
    record("sheet_undone", one.about, by, now, rows=one.rows)
    move_to(one, State.UNDONE, now)
    return True


def _key(made: Made) -> int:
    return int(made.about.partition(":")[2])


def _remove_customers(one: Import, made: list[Made], by: User, now: datetime) -> None:
    """Customers that came by themselves go; one whose order stands withdrawn stays with it."""
    if one.kind == "customers":
        ids = [_key(each) for each in made]
        for start in range(0, len(ids), 400):
            remove_customers(ids[start : start + 400], by, now)


def _build_back(one: Import, made: Made, by: User, now: datetime) -> None:
    build = Build.objects.get(pk=_key(made))
    with speaking_to_the_shop():
        reason = _("Taken back: brought in from %s") % one.file_name
    gates.end(
        build.pk,
        Stage.WITHDRAWN,
        token=uuid5(one.token, f"back:{made.pk}"),
        expected=Stage.BOOKED,
        reason=reason,
        by=by,
        now=now,
    )


def _part_back(one: Import, made: Made, by: User, now: datetime) -> None:
    if one.kind == "stock":
        part = Part.objects.get(pk=_key(made))
        level = StockLevel.objects.select_for_update().get(part=part)
        with speaking_to_the_shop():
            reason = _("taken back: %s") % one.file_name
        token = uuid5(one.token, f"back:{made.pk}")
        count(
            part,
            made.before["on_hand"],
            seen=level.on_hand,
            reason=reason,
            token=token,
            by=by,
            now=now,
        )
    else:
        retire_part(_key(made), by=by, now=now)


def _supplier_back(_one: Import, made: Made, by: User, now: datetime) -> None:
    if made.how in {How.NEW, How.CHANGED}:
        retire_supplier(_key(made), by=by, now=now)


_BACK: Mapping[str, Callable[[Import, Made, User, datetime], None]] = {
    "build": _build_back,
    "part": _part_back,
    "supplier": _supplier_back,
}
