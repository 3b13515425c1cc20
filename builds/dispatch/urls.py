"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import parcel

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
]
