"""The addresses of the bench."""

from django.urls import path

from builds.bench.views import board, condition, dispatch, intake, photos, sheet, tag, tell, today

urlpatterns = [
    path("", today.today, name="bench_today"),
    path("intake/", intake.overview_page, name="bench_intake"),
    path("intake/new/", intake.new, name="bench_arrival_new"),
    path("intake/<int:arrival_id>/", intake.arrival, name="bench_arrival"),
    path("intake/<int:arrival_id>/match/", intake.match, name="bench_match"),
    path("intake/<int:arrival_id>/unmatch/<int:number>/", intake.unmatch, name="bench_unmatch"),
    path("intake/<int:arrival_id>/photos/", photos.add_to_arrival, name="bench_arrival_photos"),
    path("intake/<int:arrival_id>/belongings/", intake.belonging, name="bench_belonging"),
    path(
        "intake/<int:arrival_id>/belongings/<int:belonging_id>/", intake.claim, name="bench_claim"
    ),
    path("intake/<int:arrival_id>/box/", intake.box, name="bench_box"),
    path("intake/<int:arrival_id>/cell/", intake.cell, name="bench_arrival_cell"),
    path("bench/", board.board, name="bench_bench"),
    path("bench/undo/<int:move_id>/", board.undo, name="bench_undo"),
    path("build/<int:number>/", sheet.sheet, name="bench_sheet"),
    path("build/<int:number>/tag/", tag.tag, name="bench_tag"),
    path("build/<int:number>/move/", board.move, name="bench_move"),
    path("build/<int:number>/start/", board.start, name="bench_start"),
    path("build/<int:number>/back/", sheet.send_back, name="bench_back"),
    path("build/<int:number>/end/", sheet.end, name="bench_end"),
    path("build/<int:number>/put/", sheet.put, name="bench_put"),
    path("build/<int:number>/cell/", sheet.cell, name="bench_cell"),
    path("build/<int:number>/condition/", condition.note, name="bench_condition"),
    path("build/<int:number>/mark/<int:photo_id>/", condition.mark, name="bench_mark"),
    path("build/<int:number>/answer/", sheet.answer, name="bench_answer"),
    path("build/<int:number>/hold/", sheet.hold, name="bench_hold"),
    path("build/<int:number>/hold/<int:hold_id>/end/", sheet.end_hold, name="bench_end_hold"),
    path("build/<int:number>/hold/<int:hold_id>/asked/", sheet.ask_again, name="bench_ask_again"),
    path("build/<int:number>/promise/", sheet.promise, name="bench_promise"),
    path("build/<int:number>/pass/", sheet.let_by, name="bench_pass"),
    path("build/<int:number>/tell/", tell.tell, name="bench_tell"),
    path("build/<int:number>/tell/said/", tell.said, name="bench_tell_said"),
    path("build/<int:number>/photos/", photos.add_to_build, name="bench_photos"),
    path("build/<int:number>/pack/", dispatch.pack, name="bench_pack"),
    path("build/<int:number>/belonging/<int:belonging_id>/", sheet.account, name="bench_account"),
    path("photo/<int:photo_id>/describe/", photos.describe, name="bench_photo"),
    path("photo/<int:photo_id>/only/", photos.only, name="bench_photo_only"),
    path("photo/<int:photo_id>/drop/", photos.drop, name="bench_photo_drop"),
    path("dispatch/", dispatch.day, name="bench_dispatch"),
    path("parcel/<int:parcel_id>/left/", dispatch.left, name="bench_left"),
    path("parcel/<int:parcel_id>/open/", dispatch.unpack, name="bench_unpack"),
    path("parcel/<int:parcel_id>/tracking/", dispatch.tracking, name="bench_tracking"),
]
