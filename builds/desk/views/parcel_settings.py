"""The settings of what the customs are told. The owner's alone."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.desk.actions.shop import change_shop
from builds.desk.forms.parcel_settings import ParcelSettingsForm
from builds.desk.views.section import section
from shop.clock import now
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def parcel_settings(request: HttpRequest) -> HttpResponse:
    """What the customs are told of each parcel."""
    form = ParcelSettingsForm(request.POST or None, instance=house())
    if form.is_valid():
        change_shop(form.instance, form.changed(), by=staff(request), now=now())
        return done(request, reverse("desk_parcel_settings"), _("Saved."))
    shown = {"form": form}
    return section(
        request, "desk_parcel_settings", "parcel_settings", shown, refused=bool(form.errors)
    )
