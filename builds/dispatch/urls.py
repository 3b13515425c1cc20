"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import classing, parcel, rules

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
    path("parcel/<int:pk>/cell/<slug:key>/", classing.cell, name="dispatch_parcel_cell"),
    path("parcel/<int:pk>/way/", classing.service, name="dispatch_parcel_way"),
    path("parcel/<int:pk>/mend/", classing.way_out, name="dispatch_parcel_mend"),
    path("parcel/<int:pk>/marks/<slug:size>/", classing.marks, name="dispatch_parcel_marks"),
    path("settings/services/<int:pk>/rules/", rules.rules, name="dispatch_rules"),
    path("settings/rules/<int:pk>/withdraw/", rules.withdraw, name="dispatch_rule_withdraw"),
]
