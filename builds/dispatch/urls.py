"""The addresses of parcels."""

from django.urls import path

from builds.dispatch.views import boxes, contents, parcel

urlpatterns = [
    path("parcel/<int:pk>/", parcel.parcel, name="dispatch_parcel"),
    path("parcel/<int:pk>/box/", boxes.box, name="dispatch_parcel_box"),
    path("parcel/<int:pk>/size/", boxes.size, name="dispatch_parcel_size"),
    path("parcel/<int:pk>/service/", boxes.service, name="dispatch_parcel_service"),
    path("parcel/<int:pk>/worth/", boxes.worth, name="dispatch_parcel_worth"),
    path(
        "parcel/<int:pk>/goods/<int:item>/in/", contents.goods_in, name="dispatch_parcel_goods_in"
    ),
    path(
        "parcel/<int:pk>/goods/<int:item>/out/",
        contents.goods_out,
        name="dispatch_parcel_goods_out",
    ),
]
