"""The addresses of a build's parts, wiring, fit and power."""

from django.urls import path

from builds.fitting.views import fit, part, parts, power, wires

urlpatterns = [
    path("build/<int:number>/parts/", parts.parts, name="fitting_parts"),
    path("build/<int:number>/parts/add/", parts.add, name="fitting_part_add"),
    path("build/<int:number>/parts/scan/", parts.scan, name="fitting_part_scan"),
    path("build/<int:number>/parts/kit/", parts.use_kit, name="fitting_part_kit"),
    path("build/<int:number>/parts/make-kit/", parts.make_kit, name="fitting_make_kit"),
    path("build/<int:number>/parts/chassis/", parts.chassis, name="fitting_chassis"),
    path("build/<int:number>/parts/own/", parts.own, name="fitting_own"),
    path("build/<int:number>/parts/<int:pk>/", part.part, name="fitting_part"),
    path("build/<int:number>/parts/<int:pk>/reserve/", part.reserve, name="fitting_reserve"),
    path("build/<int:number>/parts/<int:pk>/fit/", part.fit, name="fitting_part_fit"),
    path("build/<int:number>/parts/<int:pk>/serial/", part.serial, name="fitting_serial"),
    path("build/<int:number>/parts/<int:pk>/place/", part.place, name="fitting_place"),
    path("build/<int:number>/parts/<int:pk>/swap/", part.swap, name="fitting_swap"),
    path("build/<int:number>/parts/<int:pk>/off/", part.off, name="fitting_off"),
    path("build/<int:number>/parts/<int:pk>/dead/", part.dead, name="fitting_dead"),
    path("build/<int:number>/parts/<int:pk>/wait/", part.wait, name="fitting_wait"),
    path("build/<int:number>/wires/", wires.wires, name="fitting_wires"),
    path("build/<int:number>/wires/add/", wires.add, name="fitting_wire_add"),
    path("build/<int:number>/wires/usual/", wires.usual, name="fitting_wires_usual"),
    path("build/<int:number>/wires/<int:pk>/", wires.wire, name="fitting_wire"),
    path("build/<int:number>/wires/<int:pk>/cut/", wires.cut, name="fitting_wire_cut"),
    path("build/<int:number>/wires/<int:pk>/off/", wires.off, name="fitting_wire_off"),
    path("build/<int:number>/fit/", fit.fit, name="fitting_fit"),
    path("build/<int:number>/fit/places/", fit.place, name="fitting_fit_place"),
    path("build/<int:number>/fit/<int:part_id>/behind/", fit.behind, name="fitting_fit_behind"),
    path("build/<int:number>/fit/decide/", fit.decide, name="fitting_fit_decide"),
    path("build/<int:number>/fit/<int:part_id>/swap/", fit.swap, name="fitting_fit_swap"),
    path("build/<int:number>/power/", power.power, name="fitting_power"),
    path("build/<int:number>/power/decide/", power.decide, name="fitting_decide"),
]
