"""The URL map: each room's own, in the order of the work."""

from django.urls import include, path

urlpatterns = [
    path("", include("shop.people.urls")),
    path("", include("shop.files.urls")),
    path("", include("builds.bench.urls")),
    path("", include("builds.visitor.urls")),
    path("", include("builds.desk.urls")),
]
