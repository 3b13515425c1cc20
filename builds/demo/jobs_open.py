"""Jobs of the demo in install, in teardown, in intake, and those that have not come yet."""

from builds.demo.job import Job, Said, Wait
from builds.progress.states import HoldReason, Kind, Leaves, Turn

JOBS = (
    Job(
        "linnea", "Copperfen", "Full install: one switch, pixel blade, quiet look.",
        booked=29, needed=24, price="£634 at most, half paid with the order.", due=12, came=23,
        things=(("blade plug", 1), ("felt sleeve", 1)),
        condition=(("emitter", "sound", "copper bright"), ("grip", "sound", "")),
        cell=("none", None, ""), tray=9, place="Shelf B",
        reached=(("teardown", 18), ("install", 6)), started_by="oda", told_at=("install",),
    ),
    Job(
        "haruto", "Long Quiet", "Full install: long chassis, two cells in a row.",
        booked=28, price="£722 at most, half paid with the order.", due=11, came=21,
        things=(("hex key, 1.5 mm", 1),),
        condition=(("emitter", "sound", ""), ("pommel", "marked", "thread end burred")),
        cell=("none", None, ""), tray=10, place="Shelf B",
        reached=(("teardown", 16), ("install", 8)), told_at=("install",),
        said=(Said(5, "chat", "The board is on order; the supplier names next week."),),
        wait=Wait(
            HoldReason.PARTS, Turn.SUPPLIER, "sound board for two switches", since=6, chase=0,
            part="Sound board 22.5 × 1.6",
        ),
    ),
    Job(
        "yusuf", "Saltmarsh No. 3", "Upgrade: new board, charging port in the pommel.",
        booked=33, price="£324 at most, board and port included.", kind=Kind.UPGRADE,
        due=-2, came=27,
        things=(("blade, 92 cm", 1),),
        condition=(("grip", "worn", "brass gone brown under the hand"),),
        tray=11, place="Shelf A", reached=(("teardown", 20), ("install", 9)), started_by="jory",
        told_at=("teardown",),
        said=(Said(5, "chat", "Port seat had to be turned anew, takes a few days more."),),
    ),
    Job(
        "lowen", "Heron two-piece", "Full install in the lower piece, lights in the upper.",
        booked=25, price="£648 at most, half paid with the order.", due=9, came=19,
        things=(("blade plug", 1), ("charger", 1)),
        condition=(
            ("coupling", "damaged", "thread seized, tool marks on both rims"),
            ("grip", "sound", ""),
        ),
        cell=("good", 3640, ""), tray=12, place="Shelf B",
        reached=(("teardown", 7),), started_by="oda", told_at=("teardown",),
        wait=Wait(
            HoldReason.STUCK, Turn.CUSTOMER,
            "May we warm the stuck coupling? The black at the rim may dull.", since=4, chase=-1,
        ),
    ),
    Job(
        "mateus", "Lych Mile", "Upgrade: board swap, second switch added.",
        booked=20, price="£280, board included.", kind=Kind.UPGRADE, due=16, came=10,
        things=(("blade plug", 1),),
        condition=(("body", "marked", "fine scratches all round"),),
        tray=13, place="Shelf A", reached=(("teardown", 5),), reconfirmed=False,
        told_at=("teardown",),
    ),
    Job(
        "noor", "Brindle", "Full install: removable chassis, charging port, one switch.",
        booked=17, price="£595 at most, half paid with the order.", due=11, came=9,
        things=(("carry bag", 1),),
        condition=(("grip", "sound", ""), ("emitter", "worn", "plating thin at the lip")),
        cell=("none", None, ""), tray=14, place="Shelf B", reached=(("teardown", 4),),
        started_by="oda", told_at=("teardown",),
        wait=Wait(
            HoldReason.PARTS, Turn.SUPPLIER, "charge port for the pommel", since=3, chase=4,
            part="Charge port, USB-C, panel",
        ),
    ),
    Job(
        "anouk", "Kestrel first", "Full install, to match the second of the pair.",
        booked=13, needed=40, due=26, came=2,
        price="£1,150 at most for the pair, half paid with the order.",
        things=(("blade, 86 cm", 2), ("blade plug", 2)),
        condition=(("emitter", "sound", ""), ("grip", "sound", "brass bright")),
        cell=("none", None, ""), tray=15, place="Shelf A",
    ),
    Job(
        "anouk", "Kestrel second", "Full install, to match the first of the pair.",
        booked=13, due=26, came=2, same_box=True, all_views=False, cell=None,
    ),
    Job(
        "callum", "Quarry Jack", "Warranty: hum at full volume.",
        booked=6, price="No charge, warranty.", kind=Kind.WARRANTY, due=16, came=3,
        leaves_by=Leaves.COLLECTION, agreed_how="telephone", carrier="",
        condition=(("body", "sound", "clean, no dents"),),
        cell=("rewrap", 3780, "wrap lifting at the seam"), tray=16, place="Shelf B",
    ),
    Job(
        "elodie", "Marram", "Full install: as the sketch of the 3rd, chassis in brass.",
        booked=5, price="£700, half paid with the order.", due=33,
        said=(Said(1, "chat", "Posted this morning, should be here within three days."),),
    ),
    Job(
        "wanjiru", "Cinder Lane", "Upgrade: wants to know whether two cells fit.",
        booked=3, kind=Kind.UPGRADE, leaves_by=Leaves.COLLECTION, agreed_how="",
    ),
)  # fmt: skip
