"""Addresses of forgetting; all of them the owner's."""

from django.urls import path

from builds.forgetting import views

urlpatterns = [
    path("customers/<int:pk>/data/", views.customer_data, name="forgetting_data"),
    path("customers/<int:pk>/data/file/", views.own_data, name="forgetting_own_data"),
    path("customers/<int:pk>/data/years/", views.years, name="forgetting_years"),
]
