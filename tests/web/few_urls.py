"""An URL map with one room only, as while the shop is being built."""

from django.urls import path

from tests.web.gallery_urls import gallery

urlpatterns = [
    path("bench/", gallery, name="bench_bench"),
    path("my-password/", gallery, name="people_my_password"),
]
