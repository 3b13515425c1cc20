"""Settings: the views to photograph, the trays and the places."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.forms.settings import ViewForm
from builds.desk.queries import settings as queries
from builds.desk.views.section import section
from builds.intake import actions
from builds.intake.models import View
from shop import clock
from shop.web.access import owner_only, staff
from shop.web.partials import done

SECTION = {"section": "desk/_views.html"}


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def wanted_views(request: HttpRequest) -> HttpResponse:
    """The views that the shop wants photographed, stage by stage."""
    form = ViewForm(request.POST or None)
    if form.is_valid():
        actions.add_view(**form.cleaned_data, by=staff(request), now=clock.now())
        return done(request, reverse("desk_views"), _("The view is asked for from now on."))
    context = {
        "form": form,
        "stages": queries.views_by_stage(),
        "retired": list(queries.retired_views()),
    }
    return section(request, "desk_views", "views", context, SECTION, bool(form.errors))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def one_view(request: HttpRequest, pk: int) -> HttpResponse:
    """One view: its words, the stage that asks for it, whether it must be there."""
    view = get_object_or_404(View, pk=pk)
    title = view.label  # The form writes into the view what it was given, right or wrong
    form = ViewForm(request.POST or None, instance=view)
    if form.is_valid():
        actions.change_view(pk, **form.cleaned_data, by=staff(request), now=clock.now())
        return done(request, reverse("desk_views"), _("Saved."))
    context = {"form": form, "view": view, "title": title}
    return section(request, "desk_views", "view", context, refused=bool(form.errors))


@owner_only
@require_POST
def retire_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a view no more, or again."""
    get_object_or_404(View, pk=pk)
    retired = "back" not in request.POST
    actions.retire_view(pk, retired, by=staff(request), now=clock.now())
    said = (
        _("It is asked for no more. Its photos stay.") if retired else _("It is asked for again.")
    )
    return done(request, reverse("desk_views"), said)


@owner_only
@require_POST
def move_view(request: HttpRequest, pk: int) -> HttpResponse:
    """One place up or down among the views of its stage."""
    get_object_or_404(View, pk=pk)
    actions.move_view(pk, earlier="earlier" in request.POST, by=staff(request), now=clock.now())
    return done(request, reverse("desk_views"))
