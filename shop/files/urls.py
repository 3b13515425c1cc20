"""Addresses of photos and of large uploads."""

from django.urls import path

from shop.files import views

urlpatterns = [
    path("photos/<int:blob_id>/<int:side>/", views.rendition, name="files_rendition"),
    path("photos/<int:blob_id>/original/", views.original, name="files_original"),
    path("uploads/<uuid:token>/", views.upload, name="files_upload"),
]
