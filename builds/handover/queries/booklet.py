"""What a booklet says of a build: read from the build sheet, nothing typed twice."""

from collections.abc import Iterable
from datetime import date, datetime
from itertools import groupby
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from builds.fitting.queries.listed import listed
from builds.handover.booklet_words import contents as words
from builds.handover.booklet_words import take_apart
from builds.handover.models import Gesture
from builds.handover.queries import booklet_inside, booklet_measured
from builds.handover.queries.gestures import standing_gestures
from builds.handover.queries.taken_apart import OURS, taken_apart
from builds.handover.queries.warranty import runs_under, terms, warranties
from builds.handover.states import Being as State
from builds.handover.words import HEADS
from builds.hilts.models import Hilt
from builds.hilts.queries import Shape, shapes, take_aparts
from builds.hilts.states import MeasuredThing
from builds.progress.models import Build
from builds.proving.queries import proofs
from builds.sounds.models import Slot
from builds.sounds.queries import FULL, caps_of, slots_of
from builds.sounds.states import Licence
from builds.sounds.words import colour_word
from shop.clock import day_in
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.post.queries import links_to, url_of
from shop.stores.units import shown
from shop.web.dated import dated

_WHOSE = {
    Licence.ONE_BUYER: gettext_lazy("yours: licensed to you alone, not to be passed on"),
    Licence.ANYONE: gettext_lazy("fitted by us under its maker’s licence, not to be copied"),
    Licence.OWN: gettext_lazy("our own work, for you to use and not to sell"),
}


def contents(build: Build, shop: House, now: datetime) -> words.Contents:
    """The booklet of a build that has a hilt, as the build stands now."""
    if build.hilt is None:
        raise ValueError("a booklet is of a hilt")
    with speaking_as(shop, build.hilt.customer.language):
        return _contents(build, build.hilt, shop, now)


def _contents(build: Build, hilt: Hilt, shop: House, now: datetime) -> words.Contents:
    ids = [build.pk]
    parts, gestures = listed(ids).get(build.pk, []), standing_gestures(ids)[build.pk]
    slots, shape = slots_of(ids)[build.pk], shapes([hilt])[hilt.pk]
    lines = booklet_measured.passed(proofs(ids)[build.pk])
    apart = taken_apart(take_aparts([hilt])[hilt.pk])
    lengths = _lengths(shape)
    customer = build.item.order.customer
    return words.Contents(
        lang=(get_language() or "en").split("-")[0],
        shop=shop.name,
        hilt=hilt.name,
        called=customer.called,
        number=str(build),
        kind=str(build.get_kind_display()),
        as_of=_day(as_of(build), shop),
        lengths=lengths,
        length=shown(sum(each.mm for each in lengths), shop.length_unit) if lengths else "",
        beings=beings(gestures),
        slots=tuple(_place(slot) for slot in slots),
        cap=_cap(caps_of(ids).get(build.pk, FULL)),
        licences=_licences(slots),
        apart=tuple(_plain(stage) for stage in apart.apart),
        back=tuple(_plain(stage) for stage in apart.back),
        ours=tuple((capfirst(each.words), each.why.removeprefix(OURS)) for each in apart.ours),
        by_port=booklet_inside.by_port(parts),
        battery=booklet_inside.battery(parts, shop.length_unit),
        leave=booklet_inside.leave_alone(parts),
        inside=booklet_inside.inside(parts),
        blade=booklet_inside.blade(build, parts, shop.length_unit) + _screw(shape),
        measured=booklet_measured.measured(lines, booklet_inside.capacity_mah(parts)),
        tried=booklet_measured.tried(lines),
        **_warranty(build, shop, day_in(shop.zone, now)),
        mail=shop.email,
        phone=shop.phone,
        link=url_of(links_to([hilt.about]).get(hilt.about), shop) or "",
    )


def as_of(build: Build) -> datetime:
    """When the newest of its facts came to be: the day that the booklet bears."""
    ids = [build.pk]
    moments = [part.fitted_at for part in listed(ids).get(build.pk, [])]
    moments += [gesture.tried_at for gesture in standing_gestures(ids)[build.pk]]
    moments += [slot.verified_at for slot in slots_of(ids)[build.pk]]
    moments.append(booklet_measured.newest(booklet_measured.passed(proofs(ids)[build.pk])))
    return max((moment for moment in moments if moment), default=build.item.order.placed_at)


def _day(moment: datetime, shop: House) -> str:
    return dated(day_in(shop.zone, moment), "full")


def _warranty(build: Build, shop: House, today: date) -> dict[str, Any]:
    """As promised when it left; until then as it would be today. Nothing, where none is promised.

    Words of a warranty are a promise too.
    """
    promised = warranties([build.pk]).get(build.pk)
    if promised:
        runs_on = runs_under(build) == promised.last_day
        days = 0 if runs_on else (promised.last_day - promised.left_on).days
        until = dated(promised.last_day, "full")
        return _said_of(days, runs_on, promised.words, until)
    found = terms(build, today, shop)
    if found.last_day is None:
        return {}
    return _said_of(found.days, found.runs_on, shop.warranty_words, "")


def _said_of(days: int, runs_on: bool, said: str, until: str) -> dict[str, Any]:
    found = {"warranty_days": days, "warranty_runs_on": runs_on}
    return {**found, "warranty": said.strip(), "until": until}


def _lengths(shape: Shape) -> tuple[words.Length, ...]:
    """The sections for the drawing; none where a length or a width is not known."""
    known = [
        (each.section, each.value(MeasuredThing.LENGTH), each.value(MeasuredThing.OUTER))
        for each in shape.sections
    ]
    if not all(length and outer for _section, length, outer in known):
        return ()
    return tuple(
        words.Length(section.name, length or 0, outer or 0, section.holds_blade)
        for section, length, outer in known
    )


def beings(gestures: Iterable[Gesture]) -> tuple[words.Being, ...]:
    """Gestures in their order, under the word of the state that each is made in."""
    return tuple(
        words.Being(
            str(HEADS[State(being)]),
            tuple(_told(gesture) for gesture in rows),
        )
        for being, rows in groupby(gestures, key=lambda gesture: gesture.being)
    )


def _told(gesture: Gesture) -> words.Told:
    wanted, do = capfirst(gesture.wanted), capfirst(gesture.do)
    return words.Told(wanted, do, gesture.see, gesture.hear, gesture.out)


def _place(slot: Slot) -> words.Place:
    return words.Place(
        slot.place,
        slot.name,
        slot.colour,
        colour_word(slot.colour),
        str(slot.get_look_display()),
        slot.sound_set.name if slot.sound_set else "",
        slot.music,
    )


def _cap(percent: int) -> str:
    if percent == FULL:
        return ""
    return _("The blade is set to at most %d %% of its light.") % percent


def _licences(slots: Iterable[Slot]) -> tuple[words.Pair, ...]:
    """Each sound set of the card with whose it is."""
    sets = {slot.sound_set.name: slot.sound_set for slot in slots if slot.sound_set}
    return tuple(
        (name, "; ".join(filter(None, [str(_WHOSE[Licence(each.licence)]), each.licence_words])))
        for name, each in sets.items()
    )


def _plain(stage: take_apart.Stage) -> words.Steps:
    return words.Steps(
        stage.said,
        tuple(
            words.Step(step.label, capfirst(step.words), step.how, step.needs)
            for step in stage.steps
        ),
    )


def _screw(shape: Shape) -> tuple[words.Pair, ...]:
    socket = shape.socket
    screw = socket.section.blade_screw if socket else ""
    return ((_("Retention screw"), screw),) if screw else ()
