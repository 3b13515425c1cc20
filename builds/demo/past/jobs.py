"""The jobs that a long past is made of: every kind, every ending, each with its own customer."""

from dataclasses import dataclass

from builds.demo.job import Back, Job, Said, Wait
from builds.progress.states import Kind, Leaves


@dataclass(frozen=True)
class Tale:
    """One customer's jobs, and how often in a hundred a customer's past looks like this."""

    share: int
    jobs: tuple[Job, ...]
    paid_minor: int = 0  # a deposit of half, the rest with the invoice


_ALL = (("teardown", 27), ("install", 22), ("test", 15), ("dispatch", 11))
_LONG_AGO = (("teardown", 53), ("install", 50), ("test", 46), ("dispatch", 42))
_THINGS = (("blade, 92 cm", 1), ("blade plug", 1))
_WORN = (("emitter", "sound", ""), ("grip", "worn", "black gone thin at two ribs"))
_MAILS = ("teardown", "install", "test")
_SAID = (Said(25, "telephone", "Wants it a little quieter than the last one."),)

TALES = (
    Tale(
        17,
        (
            Job(
                "full", "Weir House", "Full install: removable chassis, two switches.",
                booked=36, price="£620, half paid with the order.", due=-8, came=31,
                things=_THINGS, condition=_WORN, cell=("none", None, ""),
                new_cell=("good", 3820, "new, from stock"), reached=_ALL, started_by="oda",
                finished_views=True, returned=True, told_at=_MAILS, packed=True, said=_SAID,
                tracking="FP 8800 0001 GB", ended=("sent", 8, ""),
            ),
        ),
        62_000,
    ),
    Tale(
        9,
        (
            Job(
                "full-again", "Ninth Lantern", "Full install: chassis as one piece.",
                booked=34, price="£680, half paid with the order.", due=-7, came=30,
                goods=(("spare cell", 1), ("charger", 1)), things=(("blade, 86 cm", 1),),
                condition=(("neck", "marked", "scribe line, old"),), cell=("none", None, ""),
                reached=_ALL, started_by="jory", fails_once=True, finished_views=True,
                returned=True, told_at=_MAILS, said=_SAID, packed=True,
                tracking="FP 8800 0007 GB", ended=("sent", 8, ""),
            ),
        ),
        68_000,
    ),
    Tale(
        16,
        (
            Job(
                "upgrade", "Tallow Bridge", "Upgrade: louder speaker, new board, same switches.",
                booked=33, price="£310, board and speaker included.", kind=Kind.UPGRADE, due=-8,
                came=29, things=(("blade plug", 1),), condition=_WORN, reached=_ALL,
                started_by="jory", finished_views=True, returned=True, told_at=_MAILS, packed=True,
                said=_SAID, tracking="FP 8800 0002 GB", ended=("sent", 8, ""),
            ),
        ),
        31_000,
    ),
    Tale(
        24,
        (
            Job(
                "repair", "Greywater", "Repair: cuts out after a minute.",
                booked=32, price="£110, cell £18 on top if needed.", kind=Kind.REPAIR, due=-8,
                came=29, things=(("charger", 1), ("carry bag", 1)),
                condition=(("grip", "worn", "leather dry"),), reached=_ALL, started_by="oda",
                finished_views=True, returned=True, told_at=_MAILS, packed=True, said=_SAID,
                tracking="FP 8800 0003 GB", ended=("sent", 8, ""),
            ),
        ),
        11_000,
    ),
    Tale(
        14,
        (
            Job(
                "bell", "Bell Rope", "Dead after a drop. Repair, new speaker if it needs one.",
                booked=32, price="£90, speaker £25 on top if needed.", kind=Kind.REPAIR,
                leaves_by=Leaves.COLLECTION, agreed_how="person", due=-6, came=31, carrier="",
                condition=(("pommel", "marked", "dent at the rim, 4 mm"),), reached=_ALL,
                started_by="oda", finished_views=True, returned=True, told_at=_MAILS, said=_SAID,
                ended=("collected", 6, ""),
            ),
        ),
        11_500,
    ),
    Tale(
        6,
        (
            Job(
                "blade", "Small Hours", "Repair: the charging port turns in its seat.",
                booked=58, price="£60.", kind=Kind.REPAIR, due=-40, came=55,
                condition=_WORN, reached=_LONG_AGO, started_by="jory", finished_views=True,
                returned=True, told_at=_MAILS, leaves_by=Leaves.COLLECTION,
                ended=("collected", 40, ""),
            ),
            Job(
                "blade", "", "Blade, 86 cm, clear, round tip.", booked=29, price="£75.",
                kind=Kind.BLADE, due=-8, place="Blade rack", reached=(("intake", 27), *_ALL),
                started_by="jory", told_at=_MAILS, packed=True, said=_SAID,
                tracking="FP 8800 0004 GB", ended=("sent", 8, ""),
            ),
        ),
        7_500,
    ),
    Tale(
        4,
        (
            Job(
                "first", "Harrow Gate", "Upgrade: new board, two switches.",
                booked=58, price="£290, board included.", kind=Kind.UPGRADE, due=-40, came=55,
                condition=_WORN,
                reached=_LONG_AGO,
                started_by="oda", finished_views=True, returned=True, told_at=_MAILS, packed=True,
                tracking="FP 8800 0005 GB", ended=("sent", 40, ""),
            ),
            Job(
                "first", "Harrow Gate", "The switch reads twice: open up, find out why, mend it.",
                booked=30, kind=Kind.WARRANTY, due=-8, came=28,
                back=Back(31, "One press, two steps, since a week.",
                          "the switch wore within the warranty, nothing was forced"),
                condition=(("grip", "sound", "as it left us"),), reached=_ALL, started_by="jory",
                finished_views=True, returned=True, told_at=_MAILS, packed=True,
                tracking="FP 8800 0006 GB", ended=("sent", 8, ""),
            ),
        ),
        29_000,
    ),
    Tale(
        3,
        (
            Job(
                "unfinished", "Saltmarsh No. 3", "Upgrade: board swap.", booked=30,
                price="£240, board included.", kind=Kind.UPGRADE, due=-8, came=28,
                condition=_WORN, reached=(("teardown", 24),), started_by="oda", returned=True,
                told_at=("teardown",), said=_SAID, wait=Wait(
                    "answer", "customer", "may we drill a second hole?", since=20, chase=-9
                ),
                ended=("returned", 7, "No drilling wanted; goes back as it came."),
            ),
        ),
    ),
    Tale(
        3,
        (
            Job(
                "withdrawn", "Fallow Light", "Board swap to the two-switch board.", booked=25,
                price="£240, board included.", kind=Kind.UPGRADE, due=-8,
                ended=("withdrawn", 14, "Keeps it as it is."), said=_SAID,
            ),
        ),
    ),
    Tale(
        2,
        (
            Job(
                "abandoned", "Brindle", "Full install, when there is money.", booked=58,
                price="£600.", due=-8, came=50, condition=_WORN, said=_SAID,
                ended=("abandoned", 7, "No answer for a year, four letters."),
            ),
        ),
    ),
)  # fmt: skip
