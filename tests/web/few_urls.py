"""An URL map with one room only: the others' links must be left out."""

from django.urls import path

from tests.web.gallery_urls import gallery

urlpatterns = [
    path("bench/", gallery, name="bench_bench"),
    path("who/", gallery, name="people_take_over"),
    path("my-password/", gallery, name="people_my_password"),
]
