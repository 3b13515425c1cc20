"""Stores: parts, their stock, what is stated of them."""

from django.urls import path

from shop.stores.views import kits, part, stock, stores

parts = [
    path("stores/", stores.stores, name="stores_stores"),
    path("stores/typical/", stores.typical, name="stores_typical"),
    path("stores/add/", part.add, name="stores_add"),
    path("stores/add/<slug:kind>/", part.add_kind, name="stores_add_kind"),
    path("stores/parts/<int:pk>/", part.part, name="stores_part"),
    path("stores/parts/<int:pk>/change/", part.change, name="stores_part_change"),
    path("stores/parts/<int:pk>/label/", part.label, name="stores_label"),
    path("stores/parts/<int:pk>/retire/", part.retire, name="stores_retire"),
    path("stores/parts/<int:pk>/receive/", stock.receive, name="stores_receive"),
    path("stores/parts/<int:pk>/count/", stock.count, name="stores_count"),
    path("stores/parts/<int:pk>/write-off/", stock.write_off, name="stores_write_off"),
    path("stores/parts/<int:pk>/put-back/", stock.put_back, name="stores_put_back"),
    path("stores/parts/<int:pk>/state/", stock.state, name="stores_state"),
    path("stores/ratings/<int:pk>/withdraw/", stock.withdraw, name="stores_withdraw"),
]
kit_pages = [
    path("stores/kits/", kits.kits, name="stores_kits"),
    path("stores/kits/<int:pk>/", kits.kit, name="stores_kit"),
    path("stores/kits/<int:pk>/put/", kits.put, name="stores_kit_put"),
    path("stores/kits/<int:pk>/out/<int:part_pk>/", kits.out, name="stores_kit_out"),
    path("stores/kits/<int:pk>/words/", kits.words, name="stores_kit_words"),
    path("stores/kits/<int:pk>/minutes/", kits.minutes, name="stores_kit_minutes"),
    path("stores/kits/<int:pk>/retire/", kits.retire, name="stores_kit_retire"),
]
urlpatterns = [*parts, *kit_pages]
