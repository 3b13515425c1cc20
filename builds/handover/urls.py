"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import returns, show

urlpatterns = [
    path("build/<int:number>/hand-over/", show.build, name="handover_build"),
    path("build/<int:number>/return/", returns.new, name="handover_return_new"),
    path("returns/", returns.returns, name="handover_returns"),
    path("returns/<int:number>/", returns.one, name="handover_return"),
    path("returns/<int:number>/decide/", returns.decide, name="handover_return_decide"),
    path("returns/<int:number>/build/", returns.book, name="handover_return_book"),
    path("returns/<int:number>/nothing/", returns.nothing, name="handover_return_nothing"),
    path("returns/<int:number>/again/", returns.again, name="handover_return_again"),
    path("returns/<int:number>/tell/", returns.tell, name="handover_return_tell"),
]
