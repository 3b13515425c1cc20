"""Sign-in, passwords, and one's own doors."""

from django.urls import path

from shop.people.views import doors, passwords, pins, second_step, signing_in

urlpatterns = [
    path("sign-in/", signing_in.sign_in, name="people_sign_in"),
    path("sign-in/second/", second_step.second_step, name="people_second_step"),
    path(
        "sign-in/second/passkey/",
        second_step.second_step_passkey,
        name="people_second_step_passkey",
    ),
    path("sign-out/", signing_in.sign_out, name="people_sign_out"),
    path("confirm/", signing_in.confirm, name="people_confirm"),
    path("my-password/", passwords.my_password, name="people_my_password"),
    path("new-password/<str:uid>/<str:token>/", passwords.new_password, name="people_new_password"),
    path("my-pin/", pins.my_pin, name="people_my_pin"),
    path("who/", pins.take_over, name="people_take_over"),
    path("my-sign-in/", doors.doors, name="people_doors"),
    path("my-sign-in/language/", doors.language, name="people_language"),
    path("my-sign-in/end/<str:mark>/", doors.end_session, name="people_end_session"),
    path("my-sign-in/end-others/", doors.end_others, name="people_end_others"),
    path("my-sign-in/app/", doors.app_code, name="people_app_code"),
    path("my-sign-in/app/off/", doors.app_code_off, name="people_app_code_off"),
    path("my-sign-in/paper/", doors.recovery_codes, name="people_recovery_codes"),
    path("my-sign-in/passkey/", doors.passkey, name="people_passkey"),
    path("my-sign-in/passkey/<int:pk>/off/", doors.passkey_off, name="people_passkey_off"),
]
