"""The addresses of the pages of dates."""

from django.urls import path

from builds.queue.views import dates, keeping, kept, new_order, order, rules, what_if

urlpatterns = [
    path("settings/dates/", rules.rules, name="queue_rules"),
    path("dates/", dates.line_page, name="queue_dates"),
    path("dates/by-days/", dates.by_days, name="queue_by_days"),
    path("dates/extra/<int:pk>/remove/", dates.remove_extra, name="queue_extra_remove"),
    path("dates/order/<int:number>/", order.order, name="queue_order"),
    path("dates/order/<int:number>/keep/", order.keep, name="queue_order_keep"),
    path("dates/kept/", kept.kept, name="queue_kept"),
    path("dates/new/", new_order.new_order, name="queue_new"),
    path("dates/what-if/", what_if.what_if, name="queue_what_if"),
    path("dates/what-if/day/", what_if.day, name="queue_if_day"),
    path("dates/what-if/day/keep/", keeping.day, name="queue_keep_day"),
    path("dates/what-if/closed/", what_if.closed, name="queue_if_closed"),
    path("dates/what-if/closed/keep/", keeping.closed, name="queue_keep_closed"),
    path("dates/what-if/hands/", what_if.hands, name="queue_if_hands"),
    path("dates/what-if/late/", what_if.late, name="queue_if_late"),
    path("dates/what-if/late/keep/", keeping.late, name="queue_keep_late"),
]
