"""The addresses of taking apart."""

from django.urls import path

from builds.teardown import views

urlpatterns = [
    path("build/<int:number>/apart/", views.apart, name="teardown_apart"),
    path("build/<int:number>/apart/out/", views.out, name="teardown_out"),
    path("build/<int:number>/apart/try/", views.attempt, name="teardown_try"),
    path("build/<int:number>/apart/depth/", views.depth, name="teardown_depth"),
    path("build/<int:number>/apart/step/<int:step_id>/", views.step, name="teardown_step"),
]
