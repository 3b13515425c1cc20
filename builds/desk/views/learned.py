"""Settings: the hours that the shop reckons with."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.desk.queries.learned import hours_learned
from builds.desk.views.section import section
from shop import clock
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.web.access import owner_only


@owner_only
@require_safe
def hours(request: HttpRequest) -> HttpResponse:
    """Hours of each kind of job and stage, and how many builds stand behind each."""
    kinds = hours_learned(calendar(house()), clock.now())
    return section(request, "desk_hours", "hours_learned", {"kinds": kinds})
