"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import (
    boxes,
    classing,
    contents,
    customs,
    packing,
    paper,
    parcel,
    rules,
)

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
    path("parcel/<int:pk>/box/", boxes.box, name="dispatch_parcel_box"),
    path("parcel/<int:pk>/size/", boxes.size, name="dispatch_parcel_size"),
    path("parcel/<int:pk>/service/", boxes.service, name="dispatch_parcel_service"),
    path("parcel/<int:pk>/worth/", boxes.worth, name="dispatch_parcel_worth"),
    path(
        "parcel/<int:pk>/goods/<int:item>/in/", contents.goods_in, name="dispatch_parcel_goods_in"
    ),
    path(
        "parcel/<int:pk>/goods/<int:item>/out/",
        contents.goods_out,
        name="dispatch_parcel_goods_out",
    ),
    path("parcel/<int:pk>/tick/", packing.tick, name="dispatch_parcel_tick"),
    path("parcel/<int:pk>/tick/<int:tick_id>/back/", packing.untick, name="dispatch_parcel_untick"),
    path("parcel/<int:pk>/slip/", paper.slip, name="dispatch_parcel_slip"),
    path(
        "parcel/<int:pk>/slip/prices/", paper.slip_with_prices, name="dispatch_parcel_slip_prices"
    ),
    path("parcel/<int:pk>/photo/", packing.photo, name="dispatch_parcel_photo"),
    path("parcel/<int:pk>/customs/", customs.customs, name="dispatch_parcel_customs"),
    path(
        "parcel/<int:pk>/customs/paper/",
        customs.customs_paper,
        name="dispatch_parcel_customs_paper",
    ),
    path("parcel/<int:pk>/cell/<slug:key>/", classing.cell, name="dispatch_parcel_cell"),
    path("parcel/<int:pk>/used/", classing.used, name="dispatch_parcel_used"),
    path("parcel/<int:pk>/mend/", classing.way_out, name="dispatch_parcel_mend"),
    path("parcel/<int:pk>/marks/<slug:size>/", classing.marks, name="dispatch_parcel_marks"),
    path("settings/services/<int:pk>/rules/", rules.rules, name="dispatch_rules"),
    path("settings/rules/<int:pk>/withdraw/", rules.withdraw, name="dispatch_rule_withdraw"),
]
