"""The desk's pages."""

from django.urls import path

from builds.desk.views import customers, find, messages, order, orders, wording

urlpatterns = [
    path("orders/", orders.orders, name="desk_orders"),
    path("orders/new/", orders.order_new, name="desk_order_new"),
    path("orders/<str:number>/", order.order, name="desk_order"),
    path("orders/<str:number>/change/", order.order_change, name="desk_order_change"),
    path("orders/<str:number>/answer/", order.order_answer, name="desk_order_answer"),
    path("orders/<str:number>/job/", order.order_job, name="desk_order_job"),
    path("orders/<str:number>/goods/", order.order_goods, name="desk_order_goods"),
    path("orders/<str:number>/link/renew/", order.order_link_renew, name="desk_order_link_renew"),
    path(
        "orders/<str:number>/link/revoke/", order.order_link_revoke, name="desk_order_link_revoke"
    ),
    path("customers/", customers.customers, name="desk_customers"),
    path("customers/new/", customers.customer_new, name="desk_customer_new"),
    path("customers/<int:pk>/", customers.customer, name="desk_customer"),
    path("messages/", messages.messages, name="desk_messages"),
    path("messages/<int:pk>/again/", messages.message_again, name="desk_message_again"),
    path("messages/<int:pk>/withdraw/", messages.message_withdraw, name="desk_message_withdraw"),
    path("messages/wording/", wording.wording, name="desk_wording"),
    path("messages/wording/<str:occasion>/", wording.wording_edit, name="desk_wording_edit"),
    path(
        "messages/wording/<str:occasion>/reset/", wording.wording_reset, name="desk_wording_reset"
    ),
    path("find/", find.find, name="desk_find"),
]
