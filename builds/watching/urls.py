"""The addresses for machines that watch."""

from django.urls import path

from builds.watching import views

urlpatterns = [
    path("health/live", views.live, name="watching_live"),
    path("health/ready", views.ready, name="watching_ready"),
    path("metrics", views.metrics, name="watching_metrics"),
]
