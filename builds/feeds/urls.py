"""Calendar feeds: one's own, and the address that a calendar reads."""

from django.urls import path

from builds.feeds import views

urlpatterns = [
    path("feeds/", views.feeds, name="feeds_feeds"),
    path("feeds/<int:pk>/revoke/", views.revoke, name="feeds_revoke"),
    path("your/calendar/<str:token>.ics", views.read, name="feeds_read"),
]
