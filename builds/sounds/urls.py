"""The addresses of slots, sound sets and cards."""

from django.urls import path

from builds.sounds.views import cards, sets, slots, wishes

urlpatterns = [
    path("sounds/", sets.shelf, name="sounds_shelf"),
    path("sounds/new/", sets.bring, name="sounds_bring"),
    path("sounds/<int:pk>/", sets.one, name="sounds_set"),
    path("sounds/<int:pk>/change/", sets.change, name="sounds_set_change"),
    path("sounds/<int:pk>/end/", sets.end, name="sounds_set_end"),
    path("sounds/<int:pk>/sort/", sets.sort, name="sounds_set_sort"),
    path("sounds/<int:pk>/again/", sets.again, name="sounds_set_again"),
    path("sounds/<int:pk>/copy/", sets.copy, name="sounds_set_copy"),
    path("sounds/<int:pk>/zip/", sets.as_zip, name="sounds_set_zip"),
    path("sounds/wish/<int:pk>/", wishes.wish, name="sounds_wish"),
    path("sounds/<int:pk>/file/<int:file_id>/", sets.file, name="sounds_set_file"),
    path("build/<int:number>/card/", cards.card, name="sounds_card"),
    path("build/<int:number>/card/list/", cards.make_list, name="sounds_card_list"),
    path("build/<int:number>/card/list/<int:pk>/", cards.as_text, name="sounds_card_text"),
    path("build/<int:number>/card/zip/", cards.as_zip, name="sounds_card_zip"),
    path("build/<int:number>/card/check/", cards.check, name="sounds_card_check"),
    path("build/<int:number>/card/keep/", cards.keep, name="sounds_card_keep"),
    path("build/<int:number>/card/kept/<int:pk>/", cards.kept, name="sounds_card_kept"),
    path("build/<int:number>/card/kept/<int:pk>/end/", cards.end_kept, name="sounds_kept_end"),
    path("build/<int:number>/slots/", slots.slots, name="sounds_slots"),
    path("build/<int:number>/slots/add/", slots.add, name="sounds_add"),
    path("build/<int:number>/slots/copy/", slots.copy, name="sounds_copy"),
    path("build/<int:number>/slots/brightness/", slots.brightness, name="sounds_brightness"),
    path("build/<int:number>/slots/<int:slot_id>/", slots.change, name="sounds_change"),
    path("build/<int:number>/slots/<int:slot_id>/verify/", slots.verify, name="sounds_verify"),
    path("build/<int:number>/slots/<int:slot_id>/up/", slots.up, name="sounds_up"),
    path("build/<int:number>/slots/<int:slot_id>/end/", slots.end, name="sounds_end"),
]
