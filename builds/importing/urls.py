"""Addresses of importing; all of them under the settings, all of them the owner's."""

from django.urls import path

from builds.importing.views import begun, going

_ONE = "settings/bring-in/<int:pk>"
urlpatterns = [
    path("settings/bring-in/", begun.start, name="importing_start"),
    path("settings/bring-in/example/<slug:kind>/", begun.example_sheet, name="importing_example"),
    path(f"{_ONE}/", going.one, name="importing_one"),
    path(f"{_ONE}/columns/", begun.match, name="importing_match"),
    path(f"{_ONE}/reading/", begun.reading, name="importing_reading"),
    path(f"{_ONE}/corrected/", going.corrected, name="importing_corrected"),
    path(f"{_ONE}/problems/", going.problems, name="importing_problems"),
    path(f"{_ONE}/confirm/", going.confirm, name="importing_confirm"),
    path(f"{_ONE}/take-back/", going.take_back, name="importing_take_back"),
    path(f"{_ONE}/drop/", going.drop, name="importing_drop"),
]
