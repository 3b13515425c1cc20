"""The steps of taking a hilt apart: one form a step, what must come off first by ticks."""

from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.hilts import actions
from builds.hilts.forms.steps import StepForm
from builds.hilts.models import Hilt, Step
from builds.hilts.queries import StepRow, TakeApart, step_mark, take_aparts
from builds.hilts.views.where import (
    MOST_DIGITS,
    Bound,
    address,
    build_asked,
    hilt_of,
    query,
    said_of,
    save,
)
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused


def show(
    request: HttpRequest, hilt: Hilt, bound: Bound | None = None, status: int = 200
) -> HttpResponse:
    """The page, with the form that came back bound in place of its fresh one."""
    build, apart = build_asked(request, hilt), take_aparts([hilt])[hilt.pk]
    others, forms = [row.step for row in apart.rows], bound or {}
    fresh = StepForm(others=others, initial={"token": uuid4()})
    context = {
        "room": "bench",
        "hilt": hilt,
        "build": build,
        "query": query(build),
        "groups": [
            (group, [(row, forms.get(f"step-{row.step.pk}") or _form(row, apart))
                     for row in group.rows])
            for group in apart.groups
        ],
        "apart": apart,
        "new": forms.get("new") or fresh,
    }  # fmt: skip
    return page(request, "hilts/steps.html", context, None, status)


def _form(row: StepRow, apart: TakeApart) -> StepForm:
    step = row.step
    facts = {name: getattr(step, name) for name in ("words", "how", "for_owner", "wants_heat")}
    firsts = sorted(row.first_ids)
    seen = {"seen": step_mark(step, firsts), "token": uuid4()}
    others = [each.step for each in apart.rows]
    return StepForm(others=others, step=step, initial={**facts, "firsts": firsts, **seen})


def step_of(pk: int) -> Step:
    """The step of a key, or 404."""
    found = Step.objects.select_related("hilt__customer")
    return get_object_or_404(found, pk=pk if len(str(pk)) <= MOST_DIGITS else 0)


@require_safe
def steps(request: HttpRequest, pk: int) -> HttpResponse:
    """How one hilt comes apart."""
    return show(request, hilt_of(pk))


@require_POST
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a step."""
    hilt = hilt_of(pk)
    form = StepForm(request.POST, others=_others(hilt))

    def deed(values: dict[str, Any]) -> None:
        token = values["token"]
        actions.add_step(hilt, **form.facts, token=token, by=staff(request), now=now())

    def again(bound: BaseForm) -> HttpResponse:
        return show(request, hilt, {"new": bound}, 422)

    to = address("hilts_steps", hilt, build_asked(request, hilt), "add")
    return save(request, form, deed, again, to, _("The step is added."))


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a step, or what must come off before it; a circle is refused by naming it."""
    step = step_of(pk)
    hilt = step.hilt
    form = StepForm(request.POST, others=_others(hilt), step=step)

    def deed(values: dict[str, Any]) -> None:
        seen, token, by = values["seen"], values["token"], staff(request)
        actions.change_step(step.pk, **form.facts, seen=seen, token=token, by=by, now=now())

    to = address("hilts_steps", hilt, build_asked(request, hilt), f"step-{step.pk}")

    def again(bound: BaseForm) -> HttpResponse:
        step.refresh_from_db()
        if step.ended_at:  # another tablet took it off meanwhile, and its form with it
            return refused(request, to, said_of(bound))
        return show(request, hilt, {f"step-{step.pk}": bound}, 422)

    return save(request, form, deed, again, to, _("The step is changed."))


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a step off the list."""
    step = step_of(pk)
    actions.end_step(step.pk, by=staff(request), now=now())
    to = address("hilts_steps", step.hilt, build_asked(request, step.hilt), "add")
    return done(request, to, _("The step is off the list."))


def _others(hilt: Hilt) -> list[Step]:
    return list(hilt.steps.filter(ended_at=None).order_by("pk"))
