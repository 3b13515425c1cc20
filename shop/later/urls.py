"""Addresses of what was kept in a browser."""

from django.urls import path

from shop.later import views

urlpatterns = [
    path("later/who/", views.who, name="later_who"),
    path("worker.js", views.worker, name="later_worker"),
    path("no-connection/", views.no_connection, name="later_no_connection"),
]
