"""The addresses of the fitting room."""

from django.urls import path

from builds.fitting.views import power

urlpatterns = [
    path("build/<int:number>/power/", power.power, name="fitting_power"),
    path("build/<int:number>/power/decide/", power.decide, name="fitting_decide"),
]
