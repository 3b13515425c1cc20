"""The URL map: each room's own, in the order of the work."""

from django.urls import include, path

handler400 = "shop.web.refusals.bad_request"
handler500 = "shop.web.trouble.broken"
urlpatterns = [
    path("", include("shop.people.urls")),
    path("", include("shop.files.urls")),
    path("", include("shop.later.urls")),
    path("", include("shop.stores.urls")),
    path("", include("shop.keeping.urls")),
    path("", include("builds.bench.urls")),
    path("", include("builds.dispatch.urls")),
    path("", include("builds.fitting.urls")),
    path("", include("builds.proving.urls")),
    path("", include("builds.handover.urls")),
    path("", include("builds.visitor.urls")),
    path("", include("builds.importing.urls")),
    path("", include("builds.forgetting.urls")),
    path("", include("builds.queue.urls")),
    path("", include("builds.desk.urls")),
    path("", include("builds.feeds.urls")),
    path("", include("builds.hilts.urls")),
    path("", include("builds.teardown.urls")),
    path("", include("builds.sounds.urls")),
    path("", include("builds.watching.urls")),
]
