"""Deciding on what the sums found, on the power page and on the fit page alike."""

from collections.abc import Callable, Sequence
from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from builds.fitting import actions
from builds.fitting.actions.decide import decide as keep_decision
from builds.fitting.forms.power import DecideForm
from builds.fitting.queries.findings import Said
from builds.progress.models import Build
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused


def decided(
    request: HttpRequest, build: Build, here: str, again: Callable[[DecideForm], HttpResponse]
) -> HttpResponse:
    """Keep a decision and lead back ``here``; ``again`` shows the page with what was typed."""
    form = DecideForm(request.POST)
    if form.is_valid():
        values = form.cleaned_data
        try:
            keep_decision(
                build.pk, values["key"], values["words"], token=values["token"],
                by=staff(request), now=now(),
            )  # fmt: skip
        except actions.Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, here, _("The decision is kept."))
    if not build.is_open:
        return refused(request, here, " ".join(map(str, form.non_field_errors())))
    return again(form)


def asked(
    to_decide: Sequence[Said], bound: DecideForm | None
) -> tuple[list[tuple[Said, Any]], DecideForm | None]:
    """What is to be decided, each with its form; and the form whose question is gone."""
    keys = {said.key for said in to_decide}
    stray = bound if bound and bound["key"].value() not in keys else None
    return [(said, _form(said, bound)) for said in to_decide], stray


def _form(said: Said, bound: DecideForm | None) -> Any:
    if bound and bound["key"].value() == said.key:
        return bound
    auto_id = f"decide-{said.key}-%s".replace(" ", "-").replace(":", "-")
    return DecideForm(initial={"key": said.key, "token": uuid4()}, auto_id=auto_id)
