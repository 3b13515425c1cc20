"""Addresses of keeping; all of them under the settings, all of them the owner's."""

from django.urls import path

from shop.keeping import views

urlpatterns = [
    path("settings/backups/", views.backups, name="keeping_backups"),
    path("settings/backups/make/", views.make, name="keeping_make"),
    path("settings/backups/check/", views.check, name="keeping_check"),
    path("settings/backups/lock/", views.lock, name="keeping_lock"),
    path("settings/backups/unlock/", views.unlock, name="keeping_unlock"),
    path("settings/export/", views.export, name="keeping_export"),
    path("settings/export/<int:pk>/", views.export_fetch, name="keeping_export_fetch"),
]
