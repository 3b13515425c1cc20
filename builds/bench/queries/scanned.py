"""What a scanned tag says of its parcel on a dispatch day."""

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.pasted import build_meant
from builds.dispatch.queries import day_of
from builds.progress.models import Build
from shop.diary.queries import Calendar
from shop.web.dated import dated


@dataclass(frozen=True)
class Scanned:
    """The parcel that a tag stands for, or in a sentence why it is not ticked off."""

    parcel: Parcel | None = None
    why: str = ""


def scanned(text: str, day: date, calendar: Calendar, now: datetime) -> Scanned:
    """The parcel in which the build of a tag lies, if it may be ticked off on a day."""
    number = build_meant(text)
    build = Build.objects.filter(number=number).first() if number else None
    if build is None:
        return Scanned(why=_("That is no tag of a build here: %s") % text[:60])
    packed = Packed.objects.filter(build=build, taken_out_at=None)
    row = packed.select_related("parcel__left_by").first()
    if row is None:
        where = {"number": build, "where": build.get_state_display()}
        return Scanned(why=_("%(number)s lies in no parcel; it is in %(where)s.") % where)
    return _on(row.parcel, build, day, calendar, now)


def _on(parcel: Parcel, build: Build, day: date, calendar: Calendar, now: datetime) -> Scanned:
    if parcel.left_at:
        at = parcel.left_at.astimezone(calendar.zone)
        said = {"number": build, "at": dated(at, "short moment")}
        return Scanned(parcel, _("%(number)s left already: %(at)s.") % said)
    leaves = day_of(parcel, calendar, now)
    if day not in {leaves, parcel.day}:
        said = {"number": build, "day": dated(leaves, "long")}
        return Scanned(parcel, _("%(number)s is packed for %(day)s, not for this day.") % said)
    return Scanned(parcel)
