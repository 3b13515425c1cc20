"""The addresses of the hand-over."""

from django.urls import path

from builds.handover.views import chapters, film, pieces, shots, show

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
]
