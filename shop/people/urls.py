"""Sign-in and passwords."""

from django.urls import path

from shop.people import views

urlpatterns = [
    path("sign-in/", views.sign_in, name="people_sign_in"),
    path("sign-out/", views.sign_out, name="people_sign_out"),
    path("my-password/", views.my_password, name="people_my_password"),
    path("my-pin/", views.my_pin, name="people_my_pin"),
    path("who/", views.take_over, name="people_take_over"),
    path("confirm/", views.confirm, name="people_confirm"),
    path("new-password/<str:uid>/<str:token>/", views.new_password, name="people_new_password"),
]
