"""What changes the shop's week and closures."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from django.db import transaction

from shop.diary.models import Closure, DayOff, ExtraDay, OwnDay, Weekday
from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User

ABOUT = "house"


@dataclass(frozen=True)
class Day:
    """One weekday as it shall be; without hours it is a day off."""

    weekday: int
    opens: time | None
    closes: time | None
    dispatches: bool


def write_week(days: list[Day]) -> None:
    """Write the seven days. Part of a deed: the caller holds the transaction."""
    for day in days:
        Weekday.objects.update_or_create(
            weekday=day.weekday,
            defaults={"opens": day.opens, "closes": day.closes, "dispatches": day.dispatches},
        )


@transaction.atomic
def change_week(
    days: list[Day], *, cut_off: time, closed_on_holidays: bool, by: User, now: datetime
) -> None:
    """Change the working hours, the dispatch days and the cut-off."""
    write_week(days)
    House.objects.update(cut_off=cut_off, closed_on_holidays=closed_on_holidays)
    leave = [day.weekday for day in days if day.dispatches]
    record("week_changed", ABOUT, by, now, dispatches=leave, cut_off=f"{cut_off:%H:%M}")


@transaction.atomic
def add_closure(first: date, last: date, reason: str, *, by: User, now: datetime) -> Closure:
    """Close the shop from one day to another, both included."""
    closure = Closure.objects.create(first=first, last=last, reason=reason.strip())
    record("closure_added", ABOUT, by, now, first=str(first), last=str(last))
    return closure


@transaction.atomic
def remove_closure(closure_pk: int, *, today: date, by: User, now: datetime) -> bool:
    """Open the shop again. One that is over stays, as what was; one under way ends yesterday."""
    closure = Closure.objects.select_for_update().filter(pk=closure_pk, last__gte=today).first()
    if closure is None:
        return False
    if closure.first < today:
        closure.last = date.fromordinal(today.toordinal() - 1)
        closure.save(update_fields=["last"])
    else:
        closure.delete()
    record("closure_removed", ABOUT, by, now, first=str(closure.first), last=str(closure.last))
    return True


@transaction.atomic
def change_planned_share(percent: int, *, by: User, now: datetime) -> None:
    """Say which share of the working day goes into builds; dates reckon with it."""
    House.objects.update(planned_percent=percent)
    record("planned_share_changed", ABOUT, by, now, percent=percent)


@transaction.atomic
def keep_own_hours(
    person: User, week: Mapping[int, tuple[time, time]], *, by: User, now: datetime
) -> None:
    """Say when somebody works, weekday by weekday; none at all: the shop's own hours."""
    OwnDay.objects.filter(person=person).delete()
    OwnDay.objects.bulk_create(
        OwnDay(person=person, weekday=day, opens=opens, closes=closes)
        for day, (opens, closes) in sorted(week.items())
    )
    record("own_hours_changed", f"staff:{person.pk}", by, now, days=len(week))


@transaction.atomic
def add_day_off(person: User, first: date, last: date, *, by: User, now: datetime) -> DayOff:
    """Somebody does not work from one day to another, both included.

    Said later, it holds: days that were to be worked on top are taken back with it.
    """
    off, is_new = DayOff.objects.get_or_create(person=person, first=first, last=last)
    if is_new:
        record("day_off_added", f"staff:{person.pk}", by, now, first=str(first), last=str(last))
    for extra in ExtraDay.objects.filter(person=person, day__range=(first, last)):
        remove_extra_day(extra.pk, by=by, now=now)
    return off


@transaction.atomic
def remove_day_off(off_pk: int, *, by: User, now: datetime) -> bool:
    """Somebody works on these days after all. Removed already, it is left so."""
    off = DayOff.objects.select_for_update().filter(pk=off_pk).first()
    if off is None:
        return False
    off.delete()
    days = {"first": str(off.first), "last": str(off.last)}
    record("day_off_removed", f"staff:{off.person_id}", by, now, **days)
    return True


@transaction.atomic
def add_extra_day(
    person: User, day: date, opens: time, closes: time, *, by: User, now: datetime
) -> ExtraDay:
    """Somebody works on a day that is off. Said twice, the later hours hold."""
    hours = {"opens": opens, "closes": closes}
    extra, is_new = ExtraDay.objects.select_for_update().get_or_create(
        person=person, day=day, defaults=hours
    )
    if not is_new and (extra.opens, extra.closes) == (opens, closes):
        return extra
    if not is_new:
        extra.opens, extra.closes = opens, closes
        extra.save(update_fields=["opens", "closes"])
    record("extra_day_added", f"staff:{person.pk}", by, now, day=str(day))
    return extra


@transaction.atomic
def remove_extra_day(extra_pk: int, *, by: User, now: datetime) -> bool:
    """Somebody does not work on that day after all. Removed already, it is left so."""
    extra = ExtraDay.objects.select_for_update().filter(pk=extra_pk).first()
    if extra is None:
        return False
    extra.delete()
    record("extra_day_removed", f"staff:{extra.person_id}", by, now, day=str(extra.day))
    return True
