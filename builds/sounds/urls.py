"""The addresses of slots."""

from django.urls import path

from builds.sounds import views

urlpatterns = [
    path("build/<int:number>/slots/", views.slots, name="sounds_slots"),
    path("build/<int:number>/slots/add/", views.add, name="sounds_add"),
    path("build/<int:number>/slots/copy/", views.copy, name="sounds_copy"),
    path("build/<int:number>/slots/brightness/", views.brightness, name="sounds_brightness"),
    path("build/<int:number>/slots/<int:slot_id>/", views.change, name="sounds_change"),
    path("build/<int:number>/slots/<int:slot_id>/up/", views.up, name="sounds_up"),
    path("build/<int:number>/slots/<int:slot_id>/end/", views.end, name="sounds_end"),
]
