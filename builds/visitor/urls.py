"""The customer's private pages."""

from django.urls import path

from builds.visitor import views

urlpatterns = [
    path("your/order/<str:token>/", views.order, name="visitor_order"),
    path(
        "your/order/<str:token>/quote/<int:revision>/",
        views.quote,
        name="visitor_quote",
    ),
    path(
        "your/order/<str:token>/consent/<int:asking_id>/",
        views.consent,
        name="visitor_consent",
    ),
    path(
        "your/order/<str:token>/photo/<int:photo_id>/<int:side>/",
        views.photo,
        name="visitor_photo",
    ),
    path("your/order/<str:token>/sounds/", views.sounds, name="visitor_sounds"),
    path("your/order/<str:token>/paper/<slug:number>/", views.paper, name="visitor_paper"),
    path("your/order/<str:token>/film/<int:film_id>/<slug:what>/", views.film, name="visitor_film"),
    path(
        "your/order/<str:token>/booklet/<int:number>/<slug:size>/",
        views.booklet,
        name="visitor_booklet",
    ),
    path(
        "your/hilt/<str:token>/booklet/<slug:size>/",
        views.hilt_booklet,
        name="visitor_hilt_booklet",
    ),
    path("your/hilt/<str:token>/", views.hilt, name="visitor_hilt"),
    path("your/hilt/<str:token>/return/", views.hilt_return, name="visitor_return"),
    path(
        "your/hilt/<str:token>/photo/<int:photo_id>/<int:side>/",
        views.hilt_photo,
        name="visitor_hilt_photo",
    ),
    path(
        "your/hilt/<str:token>/film/<int:film_id>/<slug:what>/",
        views.hilt_film,
        name="visitor_hilt_film",
    ),
]
