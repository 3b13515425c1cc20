"""Jobs of the demo that have ended, and those in dispatch and in test."""

from builds.demo.job import Job, Said
from builds.progress.states import Kind, Leaves

JOBS = (
    Job(
        "brigid", "Osier", "Second switch reads twice: open up, find out why, mend it.",
        booked=27, price="No charge, warranty.", kind=Kind.WARRANTY, due=-1, came=22,
        things=(("charging lead", 1),),
        condition=(("grip", "sound", "as it left us in spring"),),
        tray=1, reached=(("teardown", 21), ("install", 19), ("test", 15), ("dispatch", 12)),
        started_by="jory", finished_views=True, returned=True, told_at=("test",), packed=True,
        tracking="FP 4471 0092 GB", ended=("sent", 11, ""),
    ),
    Job(
        "callum", "Bell Rope", "Dead after a drop. Repair, new speaker if it needs one.",
        booked=24, price="£90, speaker £25 on top if needed.", kind=Kind.REPAIR,
        leaves_by=Leaves.COLLECTION, agreed_how="person", due=-1, came=24, carrier="",
        condition=(("pommel", "marked", "dent at the rim, 4 mm"),),
        tray=2, reached=(("teardown", 20), ("install", 17), ("test", 13), ("dispatch", 10)),
        started_by="oda", finished_views=True, returned=True, ended=("collected", 6, ""),
    ),
    Job(
        "elodie", "Fallow Light", "Board swap to the two-switch board.",
        booked=19, price="£240, board included.", kind=Kind.UPGRADE, due=12,
        ended=("withdrawn", 14, "Keeps it as it is; asks again in spring."),
    ),
    Job(
        "tamsin", "Weir House", "Full install: removable chassis, two switches, charging port.",
        booked=36, price="£620, half paid with the order.", due=1, came=31,
        things=(("blade, 92 cm", 1), ("blade plug", 1), ("hex key, 2 mm", 1)),
        condition=(
            ("emitter", "sound", ""), ("grip", "worn", "black gone thin at two ribs"),
            ("pommel", "sound", ""),
        ),
        cell=("none", None, ""), new_cell=("good", 3820, "new, from stock"),
        tray=3, place="Shelf A",
        reached=(("teardown", 28), ("install", 22), ("test", 9), ("dispatch", 4)),
        started_by="oda", finished_views=True, returned=True, told_at=("install", "test"),
        packed=True,
    ),
    Job(
        "rafael", "Tallow Bridge", "Upgrade: louder speaker, new board, same switches.",
        booked=30, price="£310, board and speaker included.", kind=Kind.UPGRADE, due=2, came=26,
        things=(("blade plug", 1),),
        condition=(("emitter", "marked", "hairline on the lip"), ("grip", "sound", "")),
        tray=4, place="Shelf A",
        reached=(("teardown", 24), ("install", 18), ("test", 7), ("dispatch", 3)),
        started_by="jory", finished_views=True, returned=True, told_at=("test",),
    ),
    Job(
        "rafael", "", "Blade, 86 cm, clear, round tip.", booked=9, price="£75.",
        kind=Kind.BLADE, due=2, place="Blade rack", reached=(("intake", 8), ("teardown", 7),
        ("install", 7), ("test", 3), ("dispatch", 2)), started_by="jory",
    ),
    Job(
        "sunniva", "Small Hours", "Repair: the charging port turns in its seat.",
        booked=18, price="£60.", kind=Kind.REPAIR, leaves_by=Leaves.COLLECTION,
        agreed_how="telephone", due=5, came=15, box="dented",
        condition=(("body", "sound", ""), ("port", "damaged", "seat worn oval")),
        tray=5, place="Shelf B",
        reached=(("teardown", 12), ("install", 10), ("test", 5), ("dispatch", 2)),
        started_by="jory", finished_views=True, returned=True,
        said=(Said(2, "telephone", "Ready. Comes by when the ferry runs, Friday or Monday."),),
    ),
    Job(
        "wanjiru", "Greywater", "Repair: cuts out after a minute.",
        booked=21, price="£110, cell £18 on top if needed.", kind=Kind.REPAIR, due=2, came=17,
        things=(("charger", 1), ("carry bag", 1)),
        condition=(("grip", "worn", "leather dry"), ("pommel", "sound", "")),
        cell=("aside", 2210, "wrap torn at the negative end, a dent below it"),
        tray=6, place="Shelf A",
        reached=(("teardown", 15), ("install", 11), ("test", 5), ("dispatch", 1)),
        started_by="oda", finished_views=True, returned=True, told_at=("install", "test"),
        said=(Said(16, "telephone", "Told her about the cell: set aside, not to be charged."),),
    ),
    Job(
        "meera", "Ninth Lantern", "Full install: chassis as one piece with the sound board.",
        booked=34, goods=(("spare cell", 1), ("charger", 1)), price="£680, half paid with the order.", due=5, came=29,
        things=(("blade, 86 cm", 1),),
        condition=(("emitter", "sound", ""), ("neck", "marked", "scribe line, old")),
        cell=("none", None, ""), tray=7, place="Shelf A",
        reached=(("teardown", 26), ("install", 19), ("test", 3)),
        started_by="jory", told_at=("install", "test"),
    ),
    Job(
        "piotr", "Harrow Gate", "Upgrade: board swap, keep the old speaker.",
        booked=26, price="£210, board included.", kind=Kind.UPGRADE, due=12, came=20,
        condition=(("body", "worn", "lacquer off where the thumb lies"),),
        tray=8, place="Shelf B", reached=(("teardown", 17), ("install", 13), ("test", 2)),
        told_at=("teardown",),
    ),
)  # fmt: skip
