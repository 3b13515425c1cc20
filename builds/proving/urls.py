"""The addresses of the bench test."""

from django.urls import path

from builds.proving.views import settings, sheet, timers

urlpatterns = [
    path("build/<int:number>/test/", sheet.sheet, name="proving_sheet"),
    path("build/<int:number>/test/begin/", sheet.begin, name="proving_begin"),
    path("build/<int:number>/test/paper/", sheet.paper, name="proving_paper"),
    path("build/<int:number>/test/let/", sheet.let, name="proving_let"),
    path("build/<int:number>/test/instrument/", sheet.instrument, name="proving_instrument"),
    path("build/<int:number>/test/line/<int:line_id>/", sheet.read, name="proving_read"),
    path(
        "build/<int:number>/test/line/<int:line_id>/run/", timers.begin, name="proving_timer_begin"
    ),
    path("build/<int:number>/test/line/<int:line_id>/end/", timers.end, name="proving_timer_end"),
    path(
        "build/<int:number>/test/timer/<int:timer_id>/stop/", timers.stop,
        name="proving_timer_stop",
    ),
    path(
        "build/<int:number>/test/reading/<int:reading_id>/", sheet.put_right,
        name="proving_put_right",
    ),
    path("settings/bench-test/", settings.template, name="proving_template"),
    path("settings/bench-test/fill/", settings.fill, name="proving_template_fill"),
    path("settings/bench-test/add/", settings.add, name="proving_template_add"),
    path("settings/bench-test/rate/", settings.rate, name="proving_rate"),
    path(
        "settings/bench-test/instrument/", settings.add_instrument, name="proving_instrument_add"
    ),
    path(
        "settings/bench-test/instrument/<int:pk>/", settings.retire_instrument,
        name="proving_instrument_retire",
    ),
    path("settings/bench-test/<int:pk>/", settings.change, name="proving_template_line"),
    path("settings/bench-test/<int:pk>/retire/", settings.retire, name="proving_template_retire"),
    path("settings/bench-test/<int:pk>/move/", settings.move, name="proving_template_move"),
]  # fmt: skip
