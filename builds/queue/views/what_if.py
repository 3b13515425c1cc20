"""What if: a day worked more, days closed, more hands, a part that comes later."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from builds.queue.forms.trying import ClosedForm, ExtraDayForm, HandsForm, LateForm
from builds.queue.queries.compared import compared
from builds.queue.queries.line import line
from builds.queue.queries.trials import all_late
from builds.queue.values import Line, with_closure, with_extra_day, with_hands
from shop.clock import now
from shop.web.access import staff
from shop.web.dated import dated
from shop.web.figures import pointed
from shop.web.partials import page


@dataclass(frozen=True)
class Trial:
    """A changed line, what the change is called, and how it can be kept, if it can."""

    title: str
    line: Line
    keep: str = ""  # url name
    deed: str = ""
    note: str = ""
    seen: str = ""


def forms_of(line_: Line, me: int, bound: dict[str, Any] | None = None) -> dict[str, Any]:
    """The four forms, one of them perhaps as it was typed."""
    return {
        "day": ExtraDayForm(line=line_, me=me, auto_id="day_%s"),
        "closed": ClosedForm(today=line_.calendar.today(line_.now), auto_id="closed_%s"),
        "hands": HandsForm(auto_id="hands_%s"),
        "late": LateForm(line=line_, auto_id="late_%s"),
    } | (bound or {})


def show(request: HttpRequest, line_: Line, bound: dict[str, Any] | None = None) -> HttpResponse:
    """The four forms, one of them with what is wrong in it."""
    context = {
        "room": "dates",
        "forms": forms_of(line_, staff(request).pk, bound),
        "has_parts": bool(line_.lines),
        "has_people": bool(line_.workers),
    }
    return page(request, "queue/what_if.html", context, status=422 if bound else 200)


@require_safe
def what_if(request: HttpRequest) -> HttpResponse:
    """All that can be tried."""
    return show(request, line(now()))


def _try(request: HttpRequest, before: Line, name: str, form: Any, trial: Trial) -> HttpResponse:
    context = {
        "room": "dates",
        "trial": trial,
        "name": name,
        "form": form,
        "fields": [(key, request.GET.get(key, "")) for key in form.fields],
        "token": uuid4(),
        "found": compared(before, trial.line),
    }
    return page(request, "queue/tried.html", context)


@require_safe
def day(request: HttpRequest) -> HttpResponse:
    """Somebody works on a day that is off."""
    before, me = line(now()), staff(request)
    form = ExtraDayForm(request.GET, line=before, me=me.pk, auto_id="day_%s")
    if not request.GET:
        return show(request, before)
    if not form.is_valid():
        return show(request, before, {"day": form})
    data, who = form.cleaned_data, form.worker
    after = with_extra_day(before, who.pk, data["day"], (data["opens"], data["closes"]))
    title = _("If %(who)s works on %(day)s, %(from)s to %(to)s") % {
        "who": who.name,
        "day": dated(data["day"], "long"),
        "from": dated(data["opens"], "clock"),
        "to": dated(data["closes"], "clock"),
    }
    if me.is_owner or me.pk == who.pk:
        trial = Trial(title, after, "queue_keep_day", _("Keep it: work on that day"))
    else:
        note = _("That is for %s or the owner to keep.") % who.name
        trial = Trial(title, after, note=note)
    return _try(request, before, "day", form, trial)


@require_safe
def closed(request: HttpRequest) -> HttpResponse:
    """The shop is closed for some days."""
    before = line(now())
    form = ClosedForm(request.GET, today=before.calendar.today(before.now), auto_id="closed_%s")
    if not request.GET:
        return show(request, before)
    if not form.is_valid():
        return show(request, before, {"closed": form})
    data = form.cleaned_data
    ends = {
        "first": dated(data["first"], "short"),
        "last": dated(data["last"], "short"),
    }
    title = _("If the shop is closed from %(first)s to %(last)s") % ends
    after = with_closure(before, data["first"], data["last"])
    if staff(request).is_owner:
        trial = Trial(title, after, "queue_keep_closed", _("Keep it: close on these days"))
    else:
        trial = Trial(title, after, note=_("Closing the shop is for the owner."))
    return _try(request, before, "closed", form, trial)


@require_safe
def hands(request: HttpRequest) -> HttpResponse:
    """One more at the bench for some hours a day."""
    before = line(now())
    form = HandsForm(request.GET, auto_id="hands_%s")
    if not request.GET:
        return show(request, before)
    if not form.is_valid():
        return show(request, before, {"hands": form})
    hours = form.cleaned_data["hours"]
    title = _("If somebody helps for %s h a day") % pointed(f"{hours.normalize():f}")
    after = with_hands(before, float(hours))
    note = _(
        "Reckoned as help with what is in hand. To keep it, add it to the hours of whoever is "
        "helped, under Settings, People."
    )
    return _try(request, before, "hands", form, Trial(title, after, note=note))


@require_safe
def late(request: HttpRequest) -> HttpResponse:
    """A part that is awaited comes later."""
    before = line(now())
    form = LateForm(request.GET, line=before, auto_id="late_%s")
    if not request.GET:
        return show(request, before)
    if not form.is_valid():
        return show(request, before, {"late": form})
    data = form.cleaned_data
    row = form.rows[data["line"]]
    title = ngettext(
        "If %(part)s comes %(n)d day late", "If %(part)s comes %(n)d days late", data["days"]
    ) % {"part": row.part.name, "n": data["days"]}
    after = all_late(before, row, data["days"])
    return _try(
        request, before, "late", form, _late_trial(request, title, after, row, data["days"])
    )


def _late_trial(request: HttpRequest, title: str, after: Line, row: Any, days: int) -> Trial:
    seen = row.purchase.expected_on
    if seen:
        day = dated(seen + timedelta(days=days), "short")
        title = _("%(if)s, so: %(day)s") % {"if": title, "day": day}
    if seen is None:
        note = _("%s has no expected day yet. Say one on the order itself to keep it.")
        return Trial(title, after, note=note % row.purchase)
    if not staff(request).is_owner:
        note = _("The day of %s is for the owner to change.")
        return Trial(title, after, note=note % row.purchase)
    deed = _("Keep it: %s comes later") % row.purchase
    return Trial(title, after, "queue_keep_late", deed, seen=seen.isoformat())
