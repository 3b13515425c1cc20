"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import booklets, show

urlpatterns = [
    path("build/<int:number>/hand-over/", show.build, name="handover_build"),
    path("build/<int:number>/hand-over/booklet/", booklets.make, name="handover_booklet_make"),
    path(
        "build/<int:number>/hand-over/booklet/publish/",
        booklets.publish,
        name="handover_booklet_publish",
    ),
    path(
        "build/<int:number>/hand-over/booklet/take-back/",
        booklets.take_back,
        name="handover_booklet_take_back",
    ),
    path(
        "build/<int:number>/hand-over/booklet/<int:booklet_id>/",
        booklets.booklet,
        name="handover_booklet",
    ),
]
