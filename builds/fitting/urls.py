"""The addresses of a build's parts, wiring, fit and power."""

from django.urls import path

from builds.fitting.views import fit

urlpatterns = [
    path("build/<int:number>/fit/", fit.fit, name="fitting_fit"),
    path("build/<int:number>/fit/<int:part_id>/place/", fit.place, name="fitting_fit_place"),
    path("build/<int:number>/fit/<int:part_id>/swap/", fit.swap, name="fitting_fit_swap"),
]
