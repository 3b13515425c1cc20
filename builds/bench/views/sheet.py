"""The build sheet: everything on one hilt, each part saved by itself."""

from collections.abc import Callable
from datetime import date
from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.bench.forms import sheet as forms
from builds.bench.forms.condition import ConditionForm
from builds.bench.forms.ending import end_form
from builds.bench.forms.moves import BackForm
from builds.bench.forms.working import add_form, with_forms
from builds.bench.queries.blades import blade_shown
from builds.bench.queries.powering import powering_of
from builds.bench.queries.sheet import own_page, sheet_of
from builds.bench.queries.working import worked
from builds.gates import actions as gates
from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.progress import actions as progress
from builds.progress.models import Build, Hold
from builds.progress.queries import builds
from builds.progress.states import HoldReason, Turn
from builds.queue import actions as queue
from builds.queue.queries.dues import days_for
from builds.queue.queries.said import choice
from builds.queue.queries.serving import servings
from shop.clock import now
from shop.diary.queries import calendar
from shop.orders.actions import record_answer
from shop.orders.models import AnswerKind
from shop.web.access import owner_only, staff
from shop.web.dated import dated
from shop.web.partials import done, next_url, page, refused

PART_NAMES = (
    "gate", "stands", "photos", "arrival", "belongings", "cell", "condition", "blade", "parts",
    "power", "answers", "holds", "promise", "finish", "told", "worked",
)  # fmt: skip
PARTS = {name: f"bench/sheet/_{name}.html" for name in PART_NAMES}
REFUSALS = (progress.Refused, gates.Refused, intake.Refused, queue.Refused)


def build_of(number: int) -> Build:
    """The build of a number, or 404."""
    return get_object_or_404(builds(), number=number)


def show(
    request: HttpRequest, build: Build, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    """The sheet, with the forms that came back bound in place of fresh ones."""
    moment = now()
    shop = request.house  # type: ignore[attr-defined]
    diary = calendar(shop)
    shown = sheet_of(build, diary, moment)
    fresh = {
        "stand": forms.StandForm(build=build),
        "cell": forms.CellForm(),
        "condition": ConditionForm(),
        "answer": forms.AnswerForm(initial={"kind": _kind_asked(request)}),
        "hold": forms.HoldForm(
            initial={"chase_on": progress.next_asking(0, moment), **_hold_offered(request)}
        ),
        "promise": forms.PromiseForm(initial={"day": _day_asked(request)}),
        "upload": forms.UploadForm(),
        "back": BackForm(prefix="back"),
        "end": end_form(build),
        "work": add_form(build),
    }
    time = worked(build, staff(request), diary, moment)
    context = {
        "room": "bench",
        **shown,
        "powering": powering_of(build, shop),
        "blade": blade_shown(build, shop.length_unit),
        "forms": {**fresh, **(bound or {})},
        "worked": time,
        "work_lines": with_forms(time.lines, (bound or {}).get("work_right")),
        "back_to": next_url(request, ""),
        **(own_page(build, shop) if staff(request).is_owner else {}),
        "next_day": days_for(build, diary).next_dispatch_day(moment),
        "choice": choice(build, diary, moment) if build.is_open else None,
        "day_asked": _day_asked(request),
    }
    along = {"gate": PARTS["gate"], "head": "bench/sheet/_head.html"}
    return page(request, "bench/sheet.html", context, PARTS, status, along)


def _day_asked(request: HttpRequest) -> date | None:
    """A day to promise that a link has in mind; what is no day is left aside."""
    try:
        return date.fromisoformat(request.GET.get("day", ""))
    except ValueError:
        return None


def save(
    request: HttpRequest,
    build: Build,
    name: str,
    form: BaseForm,
    deed: Callable[[dict[str, Any]], object],
    part: str,
    said: str = "",
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    back = next_url(request, reverse("bench_sheet", args=[build.number]) + f"#{part}")
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except REFUSALS as error:
            form.add_error(None, str(error))
        else:
            return done(request, back, said)
    found = build_of(build.number)
    if not found.is_open:  # it ended meanwhile, and its forms are off the page
        return refused(
            request, back, " ".join(map(str, form.non_field_errors())) or _("It has ended.")
        )
    return show(request, found, {name: form}, status=422)


@require_safe
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """One build."""
    return show(request, build_of(number))


@require_POST
def put(request: HttpRequest, number: int) -> HttpResponse:
    """Say where the build stands."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        progress.put(
            build.pk, tray=values["tray"], place=values["place"], by=_by(request), now=now()
        )

    form = forms.StandForm(request.POST, build=build)
    return save(request, build, "stand", form, deed, "stands", _("Its place is kept."))


@require_POST
def cell(request: HttpRequest, number: int) -> HttpResponse:
    """Write down a look at the cell."""
    build = build_of(number)
    form = forms.CellForm(request.POST)

    def deed(values: dict[str, Any]) -> None:
        intake.check_cell(
            build=build,
            arrival=None,
            result=values["result"],
            millivolts=form.millivolts,
            note=values["note"],
            by=_by(request),
            now=now(),
        )

    return save(request, build, "cell", form, deed, "cell", _("The cell check is kept."))


@require_POST
def answer(request: HttpRequest, number: int) -> HttpResponse:
    """Record an answer that came by telephone, in a chat, by mail or in person."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        record_answer(build.item, **values, by=_by(request), now=now())

    form = forms.AnswerForm(request.POST)
    return save(request, build, "answer", form, deed, "answers", _("The answer is kept."))


@require_POST
def hold(request: HttpRequest, number: int) -> HttpResponse:
    """Put the build on hold."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        progress.hold(build.pk, fields=values, by=_by(request), now=now())

    form = forms.HoldForm(request.POST)
    said = " ".join(filter(None, [_("On hold."), _asked_later(request, form)]))
    return save(request, build, "hold", form, deed, "holds", said)


def _asked_later(request: HttpRequest, form: BaseForm) -> str:
    """That nobody is here on the day chosen for asking again; empty where somebody is."""
    if not form.is_valid():
        return ""
    chosen = form.cleaned_data["chase_on"]
    kept = calendar(request.house).working_day(chosen)  # type: ignore[attr-defined]
    words = _("Nobody works on the day to ask again, so it is asked on %s.")
    return words % dated(kept, "long") if kept != chosen else ""


@require_POST
def end_hold(request: HttpRequest, number: int, hold_id: int) -> HttpResponse:
    """End a hold."""
    found = get_object_or_404(Hold, pk=hold_id, build__number=number)
    back = next_url(request, reverse("bench_sheet", args=[number]) + "#holds")
    try:
        progress.end_hold(found.pk, by=_by(request), now=now())
    except progress.Refused as error:
        return refused(request, back, str(error))
    return done(request, back, _("The hold is over."))


@require_POST
def ask_again(request: HttpRequest, number: int, hold_id: int) -> HttpResponse:
    """Write down that whoever must act was asked again; the next day follows from it."""
    found = get_object_or_404(Hold, pk=hold_id, build__number=number)
    back = next_url(request, reverse("bench_sheet", args=[number]) + "#holds")
    form = forms.AskedForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("This page is out of date. Look at it anew."))
    try:
        asked = progress.ask_again(
            found.pk, seen=form.cleaned_data["seen"], by=_by(request), now=now()
        )
    except progress.Refused as error:
        return refused(request, back, str(error))
    day = dated(asked.chase_on, "long")
    return done(request, back, _("Noted. The next day to ask is %s.") % day)


@require_POST
def promise(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the latest day that the customer was told."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        queue.promise(build, values["day"], reason=values["reason"], by=_by(request), now=now())

    form = forms.PromiseForm(request.POST)
    said = " ".join(filter(None, [_("The day is kept."), _too_late(request, build, form)]))
    return save(request, build, "promise", form, deed, "promise", said)


def _too_late(request: HttpRequest, build: Build, form: BaseForm) -> str:
    """That a day comes too late for the one by which it is needed; empty where it does not."""
    diary = calendar(request.house)  # type: ignore[attr-defined]
    serving = servings([build], diary).get(build.pk)
    if serving is None or not form.is_valid() or not serving.is_missed_by(form.cleaned_data["day"]):
        return ""
    needed = dated(serving.needed_by, "long")
    return _("It is needed by %(day)s. %(must)s") % {"day": needed, "must": serving.must}


@require_POST
def account(request: HttpRequest, number: int, belonging_id: int) -> HttpResponse:
    """Tick a belonging back into the box, or say why it stays."""
    thing = get_object_or_404(Belonging, pk=belonging_id, build__number=number)
    back = next_url(request, reverse("bench_sheet", args=[number]) + "#belongings")
    because = ""
    if "kept_because" in request.POST:
        form = forms.KeptForm(request.POST, thing=thing.pk)
        if not form.is_valid():
            return show(request, build_of(number), {"kept": form}, 422)
        because = form.cleaned_data["kept_because"]
    try:
        if "not_yet" in request.POST:
            intake.not_yet_accounted(thing, by=_by(request), now=now())
        else:
            intake.account_for(thing, kept_because=because, by=_by(request), now=now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back)


@owner_only
@require_POST
def let_by(request: HttpRequest, number: int) -> HttpResponse:
    """The owner passes one condition, with a reason."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        gates.let_by(build.pk, values["code"], reason=values["reason"], by=_by(request), now=now())

    return save(request, build, "pass", forms.PassForm(request.POST), deed, "gate", _("Passed."))


@require_POST
def send_back(request: HttpRequest, number: int) -> HttpResponse:
    """Rework: back to an earlier stage, with the cause."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        gates.send_back(build.pk, **values, by=_by(request), now=now())

    form = BackForm(request.POST, prefix="back")
    return save(request, build, "back", form, deed, "gate", _("It went back; the cause is kept."))


def _by(request: HttpRequest) -> Any:
    return staff(request)


def _kind_asked(request: HttpRequest) -> str:
    """The question whose answer the page before this one wants."""
    kind = request.GET.get("kind", "")
    return kind if kind in AnswerKind.values else ""


def _hold_offered(request: HttpRequest) -> dict[str, str]:
    """The reason of a hold that the page before this one offered, as of a stuck joint."""
    reason = request.GET.get("hold", "")
    if reason not in HoldReason.values:
        return {}
    return {"reason": reason, "turn": Turn.CUSTOMER if reason == HoldReason.STUCK else Turn.SHOP}
