"""The desk: orders, customers, messages, finding, first set-up, settings."""

from django.urls import include, path

from builds.desk.views import (
    customers,
    find,
    first_setup,
    forgot,
    mail,
    messages,
    order,
    orders,
    people,
    places,
    posting_in,
    shop,
    talk,
    wanted,
    week,
    wording,
)

settings = [
    path("", shop.settings, name="desk_settings"),
    path("where/", shop.where, name="desk_where"),
    path("hours/", week.hours, name="desk_hours"),
    path("closures/", week.closures, name="desk_closures"),
    path("closures/<int:pk>/remove/", week.remove_closure, name="desk_closure_remove"),
    path("views/", wanted.wanted_views, name="desk_views"),
    path("views/<int:pk>/", wanted.one_view, name="desk_view"),
    path("views/<int:pk>/retire/", wanted.retire_view, name="desk_view_retire"),
    path("views/<int:pk>/move/", wanted.move_view, name="desk_view_move"),
    path("places/", places.places, name="desk_places"),
    path("places/trays/", places.add_trays, name="desk_trays_add"),
    path("places/trays/<int:pk>/retire/", places.retire_tray, name="desk_tray_retire"),
    path("places/add/", places.add_place, name="desk_place_add"),
    path("places/<int:pk>/", places.one_place, name="desk_place"),
    path("places/<int:pk>/retire/", places.retire_place, name="desk_place_retire"),
    path("people/", people.people, name="desk_people"),
    path("people/<int:pk>/", people.person, name="desk_person"),
    path("people/<int:pk>/link/", people.password_link, name="desk_person_link"),
    path("people/<int:pk>/mail/", people.mail_password_link, name="desk_person_mail"),
    path("addresses/", shop.addresses, name="desk_addresses"),
    path("mail/", mail.mail, name="desk_mail"),
    path("mail/test/", mail.test_mail, name="desk_mail_test"),
]
urlpatterns = [
    path("set-up/", first_setup.first_setup, name="desk_first_setup"),
    path("forgot/", forgot.forgot, name="desk_forgot"),
    path("settings/", include(settings)),
    path("orders/", orders.orders, name="desk_orders"),
    path("orders/new/", orders.order_new, name="desk_order_new"),
    path("orders/<slug:number>/", order.order, name="desk_order"),
    path("orders/<slug:number>/posting-in/", posting_in.posting_in, name="desk_posting_in"),
    path("orders/<slug:number>/change/", order.order_change, name="desk_order_change"),
    path("orders/<slug:number>/answer/", order.order_answer, name="desk_order_answer"),
    path("orders/<slug:number>/job/", order.order_job, name="desk_order_job"),
    path("orders/<slug:number>/goods/", order.order_goods, name="desk_order_goods"),
    path("orders/<slug:number>/link/renew/", order.order_link_renew, name="desk_order_link_renew"),
    path(
        "orders/<slug:number>/link/revoke/", order.order_link_revoke, name="desk_order_link_revoke"
    ),
    path("customers/", customers.customers, name="desk_customers"),
    path("customers/new/", customers.customer_new, name="desk_customer_new"),
    path("customers/<int:pk>/", customers.customer, name="desk_customer"),
    path("messages/", messages.messages, name="desk_messages"),
    path("messages/said/", talk.said, name="desk_said"),
    path("messages/<int:pk>/answer/", talk.answer, name="desk_answer"),
    path("messages/<int:pk>/settle/", talk.settle_question, name="desk_settle"),
    path("messages/<int:pk>/again/", messages.message_again, name="desk_message_again"),
    path("messages/<int:pk>/withdraw/", messages.message_withdraw, name="desk_message_withdraw"),
    path("messages/wording/", wording.wording, name="desk_wording"),
    path("messages/wording/<slug:occasion>/", wording.wording_edit, name="desk_wording_edit"),
    path(
        "messages/wording/<slug:occasion>/reset/", wording.wording_reset, name="desk_wording_reset"
    ),
    path("find/", find.find, name="desk_find"),
]
