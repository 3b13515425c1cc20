"""The shop's pages, and what they are measured against: for `manage.py measure load` alone."""

from typing import Any

from django.contrib import admin
from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.template import Context, Template
from django.urls import path
from django.views.decorators.http import require_POST

from builds.models import Build
from builds.progress.states import STAGES
from shop.urls import urlpatterns as pages

_PAGE = Template(
    "<!doctype html><title>Bare</title><table>{% for build in builds %}<tr><td>{{ build.number }}"
    "<td>{{ build.hilt.name }}<td>{{ build.state }}<td>{{ build.tray.number }}"
    "<td>{{ build.state_since }}</tr>{% endfor %}</table>"
)


def rows(request: HttpRequest) -> HttpResponse:
    """One query, and as many rows as the Bench has."""
    found = Build.objects.filter(state__in=STAGES).select_related("hilt", "tray")
    return HttpResponse(_PAGE.render(Context({"builds": list(found)})))


@require_POST
def update(request: HttpRequest, number: int) -> HttpResponse:
    """One row changed, in a transaction, and a way back."""
    with transaction.atomic():
        Build.objects.filter(number=number).update(note="")
    response = HttpResponseRedirect("/measure/rows/")
    response.status_code = 303
    return response


class _Site(admin.AdminSite):
    def has_permission(self, request: HttpRequest) -> bool:
        return request.user.is_authenticated

    def each_context(self, request: Any) -> dict[str, Any]:
        return {**super().each_context(request), "available_apps": []}


class _Builds(admin.ModelAdmin):
    list_display = ("number", "hilt", "kind", "state", "tray", "place", "state_since")
    list_select_related = ("hilt", "tray", "place")
    show_full_result_count = False
    ordering = ("-number",)

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return True

    has_change_permission = has_module_permission = has_view_permission

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    has_delete_permission = has_add_permission  # type: ignore[assignment]

    def get_queryset(self, request: HttpRequest) -> QuerySet:
        return Build.objects.filter(state__in=STAGES)


site = _Site(name="beside")
site.register(Build, _Builds)
urlpatterns = [
    path("measure/rows/", rows, name="measure_rows"),
    path("measure/update/<int:number>/", update, name="measure_update"),
    path("measure/list/", site.urls),
    *pages,
]
