"""The slots page: what the card of a build holds, in the order of the card."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from builds.progress.models import Build
from builds.progress.queries import back_since, builds, still_so
from builds.sounds import actions
from builds.sounds.forms import slots as forms
from builds.sounds.models import Slot, SoundSet
from builds.sounds.queries import FULL, LIGHT, caps_of, free_place, like_builds, slots_of
from builds.sounds.queries.cards import shouting_on
from builds.sounds.queries.sets import allowed_for
from builds.sounds.refusals import Refused
from builds.sounds.words import colour_word
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, next_url, page, refused

PARTS = {"slots": "sounds/_slots.html", "brightness": "sounds/_brightness.html"}
Deed = Callable[[dict[str, Any]], object]


def build_of(number: int) -> Build:
    """The build of a number, or 404."""
    return get_object_or_404(builds(), number=number)


def show(
    request: HttpRequest, build: Build, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    """The page, with the form that came back bound in place of its fresh one."""
    held, back = slots_of([build.pk])[build.pk], back_since([build.pk]).get(build.pk)
    verified = {slot.pk for slot in held if still_so(slot.verified_at, back)}
    cap = caps_of([build.pk]).get(build.pk)
    like = list(like_builds(build))
    sets = list(allowed_for(build.item.order.customer_id))
    found = bound or {}
    fresh = {"place": free_place(slot.place for slot in held), "colour": "#0080ff"}
    context = {
        "room": "bench",
        "build": build,
        "rows": [{**_row(slot, found, sets), "verified": slot.pk in verified} for slot in held],
        "shouting": shouting_on([slot for slot in held if slot.sound_set_id]),
        "unverified": len(held) - len(verified),
        "cap": cap,
        "add": found.get("add") or forms.AddForm(initial={**fresh, "token": uuid4()}, sets=sets),
        "cap_form": found.get("cap")
        or forms.CapForm(initial={"percent": cap or FULL, "seen": cap or FULL}),
        "like": like,
        "copy": found.get("copy") or forms.CopyForm(like=like, initial={"token": uuid4()}),
    }
    return page(request, "sounds/slots.html", context, PARTS, status)


def _row(slot: Slot, bound: dict[str, BaseForm], sets: list[SoundSet]) -> dict[str, Any]:
    name = f"slot-{slot.pk}"
    values = {field: getattr(slot, field) for field in actions.FIELDS}
    seen = actions.seen_as(slot)
    form = forms.ChangeForm(
        initial={**values, "seen": seen}, prefix=name, sets=_with_its_own(slot, sets)
    )
    return {
        "slot": slot,
        "word": colour_word(slot.colour),
        "typical": round(LIGHT[slot.look].typical * 100),
        "seen": seen,
        "form": bound.get(name) or form,
    }


def _with_its_own(slot: Slot, sets: list[SoundSet]) -> list[SoundSet]:
    """What may be chosen for a slot: what it has stays, though it be offered no more."""
    is_there = slot.sound_set is None or slot.sound_set in sets
    return sets if is_there or slot.sound_set is None else [*sets, slot.sound_set]


def save(
    request: HttpRequest, build: Build, name: str, form: BaseForm, deed: Deed, said: str
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    back = next_url(request, reverse("sounds_slots", args=[build.number]))
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, back, said)
    if not build.is_open:
        return refused(request, back, _("This build has ended; its card stays as it is."))
    return show(request, build, {name: form}, 422)


@require_safe
def slots(request: HttpRequest, number: int) -> HttpResponse:
    """The card of one build."""
    return show(request, build_of(number))


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Put a slot on the card."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        token = values["token"]
        actions.add_slot(build.pk, values, token=token, by=staff(request), now=now())

    form = forms.AddForm(request.POST, sets=_allowed(build))
    return save(request, build, "add", form, deed, _("The slot is kept."))


@require_POST
def change(request: HttpRequest, number: int, slot_id: int) -> HttpResponse:
    """Change a slot."""
    build = build_of(number)
    slot = get_object_or_404(Slot.objects.select_related("sound_set"), pk=slot_id, build=build)
    name = f"slot-{slot.pk}"

    def deed(values: dict[str, Any]) -> None:
        seen = values["seen"]
        actions.change_slot(slot.pk, values, seen=seen, by=staff(request), now=now())

    sets = _with_its_own(slot, _allowed(build))
    form = forms.ChangeForm(request.POST, prefix=name, sets=sets)
    return save(request, build, name, form, deed, _("The slot is changed."))


def _allowed(build: Build) -> list[SoundSet]:
    return list(allowed_for(build.item.order.customer_id))


@require_POST
def verify(request: HttpRequest, number: int, slot_id: int) -> HttpResponse:
    """Say that a slot was seen and heard on the unit."""
    return _by_tap(request, number, slot_id, actions.verify_slot)


@require_POST
def up(request: HttpRequest, number: int, slot_id: int) -> HttpResponse:
    """Let a slot change places with the one before it."""
    return _by_tap(request, number, slot_id, actions.move_up)


@require_POST
def end(request: HttpRequest, number: int, slot_id: int) -> HttpResponse:
    """Take a slot off the card."""
    return _by_tap(request, number, slot_id, actions.end_slot)


def _by_tap(
    request: HttpRequest, number: int, slot_id: int, deed: Callable[..., None]
) -> HttpResponse:
    slot = get_object_or_404(Slot, pk=slot_id, build__number=number)
    back = reverse("sounds_slots", args=[number])
    form = forms.SeenForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("This page is out of date. Look at it anew."))
    try:
        deed(slot.pk, seen=form.cleaned_data["seen"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, back, str(error))
    return done(request, back)


@require_POST
def brightness(request: HttpRequest, number: int) -> HttpResponse:
    """Say how bright the blade may be at most."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        actions.cap_brightness(
            build.pk, values["percent"], seen=values["seen"], by=staff(request), now=now()
        )

    form = forms.CapForm(request.POST)
    return save(request, build, "cap", form, deed, _("The cap is kept."))


@require_POST
def copy(request: HttpRequest, number: int) -> HttpResponse:
    """Take over the slots of another build of the same customer."""
    build = build_of(number)
    form = forms.CopyForm(request.POST, like=list(like_builds(build)))
    count = 0

    def deed(values: dict[str, Any]) -> None:
        nonlocal count
        token, source = values["token"], values["source"]
        count = actions.copy_slots(build.pk, source, token=token, by=staff(request), now=now())

    answer = save(request, build, "copy", form, deed, "")
    if count:
        said = ngettext("%(n)d slot copied.", "%(n)d slots copied.", count) % {"n": count}
        return done(request, reverse("sounds_slots", args=[number]), said)
    return answer
