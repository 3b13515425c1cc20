"""The addresses of the pages of dates."""

from django.urls import path

from builds.queue.views import kept

urlpatterns = [
    path("dates/kept/", kept.kept, name="queue_kept"),
]
