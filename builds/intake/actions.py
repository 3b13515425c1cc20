"""Logs what came, ties it to builds, and keeps photos, belongings, cell checks and condition."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from builds.intake.models import (
    Arrival,
    Belonging,
    CellCheck,
    ConditionNote,
    Match,
    Photo,
    View,
)
from builds.progress.actions import put
from builds.progress.models import Build
from builds.progress.states import State
from shop.history.actions import record
from shop.models import Blob, User


class Refused(ValueError):
    """A deed of intake that cannot be, said in one sentence."""


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


@transaction.atomic
def receive(*, token: UUID, fields: dict[str, Any], by: User, now: datetime) -> Arrival:
    """Log a parcel that came. The same token twice is one arrival.

    :param fields: sender, carrier, tracking, box, note.
    """
    arrival, is_new = Arrival.objects.get_or_create(
        token=token, defaults={**fields, "came_at": now, "received_by": by}
    )
    if is_new:
        record("arrived", arrival.about, by, now, box=arrival.box)
    return arrival


@transaction.atomic
def match(arrival: Arrival, build: Build, by: User, now: datetime) -> Match:
    """Say that a parcel held the hilt of a build; its photos and belongings follow.

    :raises Refused: the build has ended.
    """
    if not build.is_open:
        raise Refused(_("%(number)s has ended; book a new build first.") % {"number": build})
    found, is_new = Match.objects.get_or_create(
        arrival=arrival, build=build, ended_at=None, defaults={"at": now, "by": by}
    )
    if is_new:
        record("matched", build.about, by, now, arrival=arrival.pk)
        _hand_over(arrival, build)
    return found


def _hand_over(arrival: Arrival, build: Build) -> None:
    """Give the build its own links to the parcel's photos, and what nobody else claims."""
    kept = set(build.photos.values_list("blob_id", flat=True))
    Photo.objects.bulk_create(
        Photo(
            blob_id=photo.blob_id,
            build=build,
            came_by=arrival,
            view=photo.view,
            stage=photo.stage,
            caption=photo.caption,
            taken_at=photo.taken_at,
            taken_by_id=photo.taken_by_id,
        )
        for photo in arrival.photos.select_related("view")
        if photo.blob_id not in kept
    )
    arrival.belongings.filter(build=None).update(build=build)
    arrival.cell_checks.filter(build=None).update(build=build)


@transaction.atomic
def rematch(arrival: Arrival, wrong: Build, right: Build, by: User, now: datetime) -> Match:
    """Correct a match: everything that came by this parcel moves from one build to the other.

    The wrong build keeps its history; it loses photos, belongings, cell checks, condition notes
    and, where they came by this parcel, its tray and place.
    """
    if wrong == right:
        raise Refused(_("That is the build it is matched to already."))
    if wrong.state not in {State.BOOKED, State.INTAKE}:
        raise Refused(
            _("%(number)s is past intake. Send it back to intake first, with the reason.")
            % {"number": wrong}
        )
    unmatch(arrival, wrong, by, now)
    found = match(arrival, right, by, now)
    ConditionNote.objects.filter(build=wrong, came_by=arrival).update(build=right)
    if not wrong.matches.filter(ended_at=None).exists():
        _carry_over(wrong, right, by, now)
    return found


def _carry_over(wrong: Build, right: Build, by: User, now: datetime) -> None:
    """The hilt stands where it stood; only its name was wrong."""
    tray, place = wrong.tray, wrong.place
    if tray is None and place is None:
        return
    put(wrong.pk, tray=None, place=None, by=by, now=now)
    put(right.pk, tray=right.tray or tray, place=right.place or place, by=by, now=now)


@transaction.atomic
def unmatch(arrival: Arrival, build: Build, by: User, now: datetime) -> None:
    """Say that a parcel did not hold the hilt of this build after all."""
    ended = Match.objects.filter(arrival=arrival, build=build, ended_at=None).update(ended_at=now)
    if not ended:
        raise Refused(_("This parcel is not matched to %(number)s.") % {"number": build})
    build.photos.filter(came_by=arrival).delete()
    arrival.belongings.filter(build=build).update(build=None)
    arrival.cell_checks.filter(build=build).update(build=None)
    record("unmatched", build.about, by, now, arrival=arrival.pk)


@transaction.atomic
def add_photo(
    blob: Blob,
    *,
    arrival: Arrival | None = None,
    build: Build | None = None,
    view: View | None = None,
    by: User,
    now: datetime,
) -> Photo:
    """Keep a photo with a parcel or a build. The same bytes twice are one photo.

    A photo of a parcel is also given to each build that the parcel is matched to.
    """
    stage = build.state if build else State.INTAKE
    keys: dict[str, Any] = {"arrival": arrival} if arrival else {"build": build}
    facts = {"view": view, "stage": stage, "taken_at": now, "taken_by": by}
    photo, is_new = Photo.objects.get_or_create(blob=blob, **keys, defaults=facts)
    if not is_new and view and photo.view_id is None:
        photo.view = view
        photo.save(update_fields=["view"])
    if arrival:
        for held in arrival.matches.filter(ended_at=None).select_related("build"):
            _give(photo, held.build, arrival)
    return photo


def _give(photo: Photo, build: Build, arrival: Arrival) -> None:
    facts = {
        "view": photo.view,
        "stage": photo.stage,
        "came_by": arrival,
        "taken_at": photo.taken_at,
        "taken_by": photo.taken_by,
    }
    Photo.objects.get_or_create(blob=photo.blob, build=build, defaults=facts)


@transaction.atomic
def describe_photo(
    photo: Photo, *, view: View | None, caption: str, shared: bool, by: User, now: datetime
) -> None:
    """Say which view a photo shows, in words, and whether the customer may see it."""
    was_shared = photo.shared
    photo.view, photo.caption, photo.shared = view, caption, shared
    photo.save(update_fields=["view", "caption", "shared"])
    if was_shared != shared and photo.build_id:
        verb = "photo_shared" if shared else "photo_unshared"
        record(verb, f"build:{photo.build_id}", by, now, photo=photo.pk)


@transaction.atomic
def drop_photo(photo: Photo, by: User, now: datetime) -> None:
    """Take a photo off a parcel or a build; its bytes stay kept."""
    about = f"build:{photo.build_id}" if photo.build_id else f"arrival:{photo.arrival_id}"
    record("photo_dropped", about, by, now, blob=photo.blob_id)
    photo.delete()


@transaction.atomic
def add_belongings(
    arrival: Arrival, things: Iterable[tuple[str, int]], by: User, now: datetime
) -> None:
    """Write down what came in the box. What the box already holds by that name is counted up."""
    builds = list(arrival.matches.filter(ended_at=None).values_list("build", flat=True))
    build_id = builds[0] if len(builds) == 1 else None
    for what, quantity in things:
        Belonging.objects.create(arrival=arrival, build_id=build_id, what=what, quantity=quantity)
        about = f"build:{build_id}" if build_id else arrival.about
        record("belonging_noted", about, by, now, what=what, quantity=quantity)


@transaction.atomic
def nothing_else(arrival: Arrival, by: User, now: datetime) -> None:
    """Say that the box held the hilt alone."""
    arrival.nothing_else = True
    arrival.save(update_fields=["nothing_else"])
    record("nothing_else", arrival.about, by, now)


@transaction.atomic
def account_for(belonging: Belonging, *, kept_because: str, by: User, now: datetime) -> None:
    """Tick a belonging back into the box, or say why it stays."""
    belonging.kept_because = kept_because
    belonging.returned_at = None if kept_because else now
    belonging.save(update_fields=["kept_because", "returned_at"])
    if belonging.build_id:
        verb = "belonging_kept" if kept_because else "belonging_returned"
        record(verb, f"build:{belonging.build_id}", by, now, what=belonging.what)


@transaction.atomic
def check_cell(
    *,
    build: Build | None,
    arrival: Arrival | None,
    result: str,
    millivolts: int | None,
    note: str,
    by: User,
    now: datetime,
) -> CellCheck:
    """Write down a look at the cell. It is never changed; a newer one counts instead."""
    check = CellCheck.objects.create(
        build=build,
        arrival=arrival,
        result=result,
        millivolts=millivolts,
        note=note,
        by=by,
        at=now,
    )
    about = build.about if build else f"arrival:{check.arrival_id}"
    record("cell_checked", about, by, now, result=result, millivolts=millivolts)
    return check


@transaction.atomic
def note_condition(
    build: Build, *, section: str, grade: str, words: str, by: User, now: datetime
) -> ConditionNote:
    """Write down how a section of the hilt looks."""
    came = build.matches.filter(ended_at=None).order_by("-at").first()
    note = ConditionNote.objects.create(
        build=build,
        section=section,
        grade=grade,
        words=words,
        came_by=came.arrival if came else None,
        by=by,
        at=now,
    )
    record("condition_noted", build.about, by, now, section=section, grade=grade)
    return note


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
