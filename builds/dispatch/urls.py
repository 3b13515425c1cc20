"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import customs, parcel

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
    path("parcel/<int:pk>/customs/", customs.customs, name="dispatch_parcel_customs"),
    path(
        "parcel/<int:pk>/customs/paper/",
        customs.customs_paper,
        name="dispatch_parcel_customs_paper",
    ),
]
