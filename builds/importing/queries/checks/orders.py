"""Rows that are open orders: one job each, for a customer we have or one that the row brings."""

from datetime import date
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from builds.importing import values
from builds.importing.queries.checks.line import Line, Options, Plan, Wish, lines_of
from builds.importing.queries.checks.people import Ours, key, known_countries, person, several
from builds.importing.sheets import Sheet
from builds.progress.models import Build
from builds.progress.states import STAGES, Leaves
from builds.progress.states import Kind as Job
from builds.queue.actions import FARTHEST
from shop.diary.queries import Calendar, calendar
from shop.people.models import Customer
from shop.web.dated import dated

_A_LOT = 400
_JOBS: dict[str, tuple[Any, ...]] = {
    Job.FULL: (Job.FULL.label, "full", "install", "installation"),
    Job.UPGRADE: (Job.UPGRADE.label, "upgrade", "board swap", "swap"),
    Job.REPAIR: (Job.REPAIR.label, "fix", "service"),
    Job.WARRANTY: (Job.WARRANTY.label,),
    Job.BLADE: (Job.BLADE.label, "blade"),
}
_WAYS: dict[str, tuple[Any, ...]] = {
    Leaves.POST: (Leaves.POST.label, "post", "mail", "parcel", "shipping", "ship"),
    Leaves.COLLECTION: (
        Leaves.COLLECTION.label,
        "collected",
        "collection",
        "pick up",
        "pickup",
    ),
}


def plan(sheet: Sheet, options: Options) -> Plan:
    """Each row an order with its job."""
    made, known = Plan(), known_countries()
    diary = calendar(options.shop)
    read = [
        (line, person(line, known) | _job(line, diary)) for line in lines_of(sheet, options, made)
    ]
    ours = Ours(facts for _line, facts in read)
    whose = [_whose(line, facts, ours) for line, facts in read]
    there = _open_jobs({each.pk for each in whose if each})
    seen: dict[tuple[str, ...], int] = {}
    for (line, facts), customer in zip(read, whose, strict=True):
        facts["customer"] = customer
        found = _found(line, facts, there, seen)
        made.wishes.append(Wish(line.row.number, facts, found))
    return made


def _job(line: Line, diary: Calendar) -> dict[str, Any]:
    order = line.options.day_order
    kind = line.need("kind", lambda value: values.choice(value, _JOBS)) or ""
    hilt = line.text("hilt", 80)
    if kind and kind != Job.BLADE and not hilt and line.raw("hilt") is None:
        line.say("hilt", _("Which hilt is it? Only a blade-only job has none."))
    _check_stage(line)
    return {
        "kind": kind,
        "hilt": hilt,
        "wanted": line.lines("wanted") or (str(Job(kind).label) if kind else ""),
        "leaves_by": line.take("leaves_by", lambda value: values.choice(value, _WAYS)) or "post",
        "needed_by": line.take("needed_by", lambda value: values.day(value, order)),
        "promised": line.take("promised", lambda value: _promise(value, order, diary, line)),
        "price_note": line.lines("price_note"),
        "reference": line.text("reference", 80),
        "order_note": line.lines("order_note"),
    }


def _check_stage(line: Line) -> None:
    stage = line.raw("stage")
    if stage is not None and str(stage).strip().casefold() not in {"booked", "open", "new"}:
        line.say("stage", _("Only “booked” can be brought in: the bench moves it on from there."))


def _promise(value: Any, order: str, diary: Calendar, line: Line) -> date:
    """A day as promises must be; the action refuses the same."""
    day, today = values.day(value, order), diary.today(line.options.now)
    if day < today:
        raise ValueError(_("That day is past. Promise a later one, or leave it empty."))
    if day > today + FARTHEST:
        raise ValueError(_("That day is more than three years away. Look at the year."))
    if not diary.is_dispatch_day(day):
        following = diary.on_or_after(day)
        if following is None:
            raise ValueError(_("Nothing leaves that day, nor within a year after it."))
        after = dated(following, "long full")
        raise ValueError(_("Nothing leaves that day. The next dispatch day is %s.") % after)
    return day


def _whose(line: Line, facts: dict[str, Any], ours: Ours) -> Customer | None:
    if not facts["full_name"] and not facts["email"]:
        if line.raw("email") is None:
            line.say("full_name", _("Whose order is it? Give an e-mail or a name."))
        return None
    meant = ours.find(facts)
    if len(meant) > 1:
        line.say("full_name", several(len(meant)))
    if not meant and not facts["full_name"] and line.is_sound:
        line.say("email", _("No customer has this e-mail. Put the name beside it."))
    return meant[0] if meant else None


def _open_jobs(customers: set[int]) -> dict[int, list[Build]]:
    """The open builds of the customers that the rows mean."""
    found: dict[int, list[Build]] = {}
    some = sorted(customers)
    for start in range(0, len(some), _A_LOT):
        mine = Q(item__order__customer__in=some[start : start + _A_LOT], state__in=STAGES)
        rows = Build.objects.filter(mine).select_related("hilt", "item__order")
        for build in rows.order_by("pk"):
            found.setdefault(build.item.order.customer_id, []).append(build)
    return found


def _found(
    line: Line,
    facts: dict[str, Any],
    there: dict[int, list[Build]],
    seen: dict[tuple[str, ...], int],
) -> Any:
    customer = facts["customer"]
    hilt, reference = facts["hilt"].casefold(), facts["reference"].casefold()
    for build in there.get(customer.pk, []) if customer else []:
        same = reference and build.item.order.reference.casefold() == reference
        on_it = hilt and build.hilt and build.hilt.name_folded == hilt
        if same or on_it:
            field = "reference" if same else "hilt"
            line.double(field, _("Build %s is this job already, and it is open.") % build)
            return build
    mark = (str(customer.pk) if customer else key(facts), reference or hilt)
    if not mark[1] or not mark[0]:
        return None
    earlier = seen.setdefault(mark, line.row.number)
    if earlier == line.row.number:
        return None
    line.double(
        "reference" if reference else "hilt", _("Row %s above is the same order.") % earlier
    )
    return earlier
