"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import customs, packing, paper, parcel

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
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
]
