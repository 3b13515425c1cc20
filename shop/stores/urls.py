"""The addresses of the stores."""

from django.urls import path

from shop.stores.views import claims, deliveries, purchases, suppliers

urlpatterns = [
    path("stores/suppliers/", suppliers.suppliers, name="stores_suppliers"),
    path("stores/suppliers/new/", suppliers.supplier_new, name="stores_supplier_new"),
    path("stores/suppliers/<int:pk>/", suppliers.supplier, name="stores_supplier"),
    path(
        "stores/suppliers/<int:pk>/change/", suppliers.supplier_change,
        name="stores_supplier_change",
    ),
    path(
        "stores/suppliers/<int:pk>/retire/", suppliers.supplier_retire,
        name="stores_supplier_retire",
    ),
    path("stores/orders/", purchases.purchases, name="stores_purchases"),
    path("stores/orders/new/", purchases.purchase_new, name="stores_purchase_new"),
    path("stores/orders/<slug:number>/", purchases.purchase, name="stores_purchase"),
    path("stores/orders/<slug:number>/text/", purchases.purchase_text, name="stores_purchase_text"),
    path("stores/orders/<slug:number>/line/", purchases.line_add, name="stores_line_add"),
    path("stores/orders/<slug:number>/lines/", purchases.lines_save, name="stores_lines_save"),
    path(
        "stores/orders/<slug:number>/lines/<int:line_id>/drop/", purchases.line_drop,
        name="stores_line_drop",
    ),
    path("stores/orders/<slug:number>/order/", purchases.order, name="stores_purchase_order"),
    path("stores/orders/<slug:number>/change/", purchases.change, name="stores_purchase_change"),
    path("stores/orders/<slug:number>/close/", purchases.close, name="stores_purchase_close"),
    path("stores/orders/<slug:number>/cancel/", purchases.cancel, name="stores_purchase_cancel"),
    path("stores/orders/<slug:number>/came/", deliveries.came, name="stores_came"),
    path("stores/claims/", claims.claims, name="stores_claims"),
    path("stores/claims/new/", claims.claim_new, name="stores_claim_new"),
    path("stores/claims/<int:pk>/", claims.claim, name="stores_claim"),
    path("stores/claims/<int:pk>/move/", claims.claim_move, name="stores_claim_move"),
]  # fmt: skip
