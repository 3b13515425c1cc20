"""The settings of the warranty. The owner's alone."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.desk.actions.shop import change_shop
from builds.desk.forms.warranty import WarrantyForm
from builds.desk.views.section import section
from shop.clock import now
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def warranty(request: HttpRequest) -> HttpResponse:
    """What is promised as a build leaves; what was promised before stays as it was."""
    form = WarrantyForm(request.POST or None, instance=house())
    if form.is_valid():
        change_shop(form.instance, form.changed(), by=staff(request), now=now())
        return done(request, reverse("desk_warranty"), _("Saved."))
    return section(request, "desk_warranty", "warranty", {"form": form}, refused=bool(form.errors))
