"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import (
    booklets,
    chapters,
    film,
    gestures,
    past,
    pieces,
    plans,
    returns,
    shots,
    show,
    telling,
)

urlpatterns = [
    path("build/<int:number>/hand-over/", show.build, name="handover_build"),
    path("build/<int:number>/shots/", shots.shots, name="handover_shots"),
    path("build/<int:number>/shots/tick/", shots.tick, name="handover_shot_tick"),
    path(
        "build/<int:number>/shots/<int:tick_id>/untick/", shots.untick, name="handover_shot_untick"
    ),
    path("build/<int:number>/film/", film.film, name="handover_film"),
    path("build/<int:number>/film/put/", pieces.put, name="handover_film_put"),
    path("build/<int:number>/film/link/", film.link, name="handover_film_link"),
    path("build/<int:number>/film/begin/", pieces.begin, name="handover_film_begin"),
    path("build/<int:number>/film/came/<uuid:token>/use/", pieces.use, name="handover_film_use"),
    path(
        "build/<int:number>/film/came/<uuid:token>/give-up/",
        pieces.give_up,
        name="handover_film_give_up",
    ),
    path("build/<int:number>/film/<int:pk>/publish/", film.publish, name="handover_film_publish"),
    path(
        "build/<int:number>/film/<int:pk>/take-back/",
        film.take_back,
        name="handover_film_take_back",
    ),
    path("build/<int:number>/film/<int:pk>/end/", film.end, name="handover_film_end"),
    path("build/<int:number>/film/<int:pk>/picture/", film.poster, name="handover_film_picture"),
    path("build/<int:number>/film/<int:pk>/chapter/", chapters.add, name="handover_chapter_add"),
    path(
        "build/<int:number>/film/<int:pk>/chapter/<int:chapter_id>/",
        chapters.change,
        name="handover_chapter_change",
    ),
    path(
        "build/<int:number>/film/<int:pk>/chapter/<int:chapter_id>/remove/",
        chapters.remove,
        name="handover_chapter_remove",
    ),
    path(
        "build/<int:number>/film/<int:pk>/part/<slug:what>/", film.part, name="handover_film_part"
    ),
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
    path("build/<int:number>/hand-over/booklet/", booklets.make, name="handover_booklet_make"),
    path(
        "build/<int:number>/hand-over/booklet/publish/",
        booklets.publish,
        name="handover_booklet_publish",
    ),
    path(
        "build/<int:number>/hand-over/booklet/take-back/",
        booklets.take_back,
        name="handover_booklet_take_back",
    ),
    path(
        "build/<int:number>/hand-over/booklet/<int:booklet_id>/",
        booklets.booklet,
        name="handover_booklet",
    ),
    path("build/<int:number>/start-from/", past.start, name="handover_start_from"),
    path("hilts/<int:pk>/past/", past.past, name="handover_past"),
    path("build/<int:number>/return/", returns.new, name="handover_return_new"),
    path("returns/", returns.returns, name="handover_returns"),
    path("returns/<int:number>/", returns.one, name="handover_return"),
    path("returns/<int:number>/decide/", returns.decide, name="handover_return_decide"),
    path("returns/<int:number>/build/", returns.book, name="handover_return_book"),
    path("returns/<int:number>/nothing/", returns.nothing, name="handover_return_nothing"),
    path("returns/<int:number>/again/", returns.again, name="handover_return_again"),
    path("returns/<int:number>/tell/", telling.tell, name="handover_return_tell"),
    path("returns/<int:number>/said/", telling.said, name="handover_return_said"),
]
