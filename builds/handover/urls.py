"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import show

urlpatterns = [
    path("build/<int:number>/hand-over/", show.build, name="handover_build"),
]
