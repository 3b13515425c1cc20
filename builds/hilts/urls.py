"""The addresses of hilts."""

from django.urls import path

from builds.hilts.views import hilt, holes, steps

urlpatterns = [
    path("hilt/<int:pk>/", hilt.hilt, name="hilts_hilt"),
    path("hilt/<int:pk>/begin/<int:like>/", hilt.begin, name="hilts_begin"),
    path("hilt/<int:pk>/section/", hilt.add, name="hilts_add"),
    path("hilt/<int:pk>/steps/", steps.steps, name="hilts_steps"),
    path("hilt/<int:pk>/steps/add/", steps.add, name="hilts_step_add"),
    path("section/<int:pk>/", hilt.change, name="hilts_change"),
    path("section/<int:pk>/move/", hilt.move, name="hilts_move"),
    path("section/<int:pk>/end/", hilt.end, name="hilts_end"),
    path("section/<int:pk>/measure/", hilt.measure, name="hilts_measure"),
    path("section/<int:pk>/joint/", hilt.joint, name="hilts_joint"),
    path("section/<int:pk>/hole/", holes.add, name="hilts_hole_add"),
    path("hole/<int:pk>/measure/", holes.measure, name="hilts_hole_measure"),
    path("hole/<int:pk>/end/", holes.end, name="hilts_hole_end"),
    path("step/<int:pk>/", steps.change, name="hilts_step"),
    path("step/<int:pk>/end/", steps.end, name="hilts_step_end"),
]
