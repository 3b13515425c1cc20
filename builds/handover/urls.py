"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import gestures, past, plans, returns, show

urlpatterns = [
    path("build/<int:number>/hand-over/", show.build, name="handover_build"),
    path("build/<int:number>/gestures/take/", gestures.take_over, name="handover_take_over"),
    path("build/<int:number>/gestures/copy/", gestures.copy, name="handover_copy"),
    path("build/<int:number>/gestures/add/", gestures.add, name="handover_add"),
    path("build/<int:number>/gestures/<int:pk>/", gestures.change, name="handover_change"),
    path("build/<int:number>/gestures/<int:pk>/tried/", gestures.tried, name="handover_tried"),
    path("build/<int:number>/gestures/<int:pk>/again/", gestures.untried, name="handover_untried"),
    path("build/<int:number>/gestures/<int:pk>/up/", gestures.up, name="handover_up"),
    path("build/<int:number>/gestures/<int:pk>/end/", gestures.end, name="handover_end"),
    path("build/<int:number>/gestures/<int:pk>/back/", gestures.back, name="handover_back"),
    path("stores/part/<int:pk>/gestures/", plans.plan, name="handover_plan"),
    path("stores/part/<int:pk>/gestures/add/", plans.add, name="handover_plan_add"),
    path("stores/gesture/<int:pk>/", plans.change, name="handover_plan_change"),
    path("stores/gesture/<int:pk>/up/", plans.up, name="handover_plan_up"),
    path("stores/gesture/<int:pk>/end/", plans.end, name="handover_plan_end"),
    path("stores/gesture/<int:pk>/back/", plans.back, name="handover_plan_back"),
    path("build/<int:number>/start-from/", past.start, name="handover_start_from"),
    path("hilts/<int:pk>/past/", past.past, name="handover_past"),
    path("build/<int:number>/return/", returns.new, name="handover_return_new"),
    path("returns/", returns.returns, name="handover_returns"),
    path("returns/<int:number>/", returns.one, name="handover_return"),
    path("returns/<int:number>/decide/", returns.decide, name="handover_return_decide"),
    path("returns/<int:number>/build/", returns.book, name="handover_return_book"),
    path("returns/<int:number>/nothing/", returns.nothing, name="handover_return_nothing"),
    path("returns/<int:number>/again/", returns.again, name="handover_return_again"),
    path("returns/<int:number>/tell/", returns.tell, name="handover_return_tell"),
]
