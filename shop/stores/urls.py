"""Stores: parts, their stock, what is stated of them; suppliers, purchase orders, claims."""

from django.urls import path

from shop.stores.views import (
    claims,
    deliveries,
    kits,
    part,
    purchases,
    stock,
    stores,
    suppliers,
)

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
buying = [
    path("stores/suppliers/", suppliers.suppliers, name="stores_suppliers"),
    path("stores/suppliers/new/", suppliers.supplier_new, name="stores_supplier_new"),
    path("stores/suppliers/<int:pk>/", suppliers.supplier, name="stores_supplier"),
    path(
        "stores/suppliers/<int:pk>/change/",
        suppliers.supplier_change,
        name="stores_supplier_change",
    ),
    path(
        "stores/suppliers/<int:pk>/retire/",
        suppliers.supplier_retire,
        name="stores_supplier_retire",
    ),
    path("stores/orders/", purchases.purchases, name="stores_purchases"),
    path("stores/orders/new/", purchases.purchase_new, name="stores_purchase_new"),
    path("stores/orders/<slug:number>/", purchases.purchase, name="stores_purchase"),
    path("stores/orders/<slug:number>/text/", purchases.purchase_text, name="stores_purchase_text"),
    path(
        "stores/orders/<slug:number>/where/",
        purchases.purchase_where,
        name="stores_purchase_where",
    ),
    path("stores/orders/<slug:number>/line/", purchases.line_add, name="stores_line_add"),
    path("stores/orders/<slug:number>/lines/", purchases.lines_save, name="stores_lines_save"),
    path(
        "stores/orders/<slug:number>/lines/<int:line_id>/drop/",
        purchases.line_drop,
        name="stores_line_drop",
    ),
    path("stores/orders/<slug:number>/order/", purchases.order, name="stores_purchase_order"),
    path("stores/orders/<slug:number>/change/", purchases.change, name="stores_purchase_change"),
    path("stores/orders/<slug:number>/close/", purchases.close, name="stores_purchase_close"),
    path("stores/orders/<slug:number>/cancel/", purchases.cancel, name="stores_purchase_cancel"),
    path("stores/orders/<slug:number>/came/", deliveries.came, name="stores_came"),
    path(
        "stores/orders/<slug:number>/came/<int:delivery_id>/back/",
        deliveries.take_back,
        name="stores_take_back",
    ),
    path("stores/claims/", claims.claims, name="stores_claims"),
    path("stores/claims/new/", claims.claim_new, name="stores_claim_new"),
    path("stores/claims/<int:pk>/", claims.claim, name="stores_claim"),
    path("stores/claims/<int:pk>/move/", claims.claim_move, name="stores_claim_move"),
]
urlpatterns = [*parts, *kit_pages, *buying]
