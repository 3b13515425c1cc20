"""A sheet of customers that the owner is bringing in, with a few rows still to be mended."""

from datetime import datetime

from builds.demo.days import token
from builds.importing.actions.begun import begin, match
from builds.importing.actions.checking import check
from builds.importing.states import Kind
from shop.people.models import User

_SHEET = """\
Name;E-mail;Telephone;Address;Town;Country;Blade colours
Ansel Thorne;ansel@thorne.example;01632 960 311;3 Cooper Row;Northwick;GB;amber
Briar Holloway;briar at holloway.example;01632 960 312;The Old Kiln;Eastmere;GB;white
Corin Vale;corin@vale.example;ask his sister;19 Quay Street;Northwick;GB;green
Della Marsh;della@marsh.example;01632 960 314;8 Hatch Lane;Sandry;Atlantis;blue
Emrys Fenn;ansel@thorne.example;01632 960 315;2 Sluice Yard;Eastmere;GB;amber
;;01632 960 316;;Northwick;GB;red
Greta Low;greta@low.example;01632 960 317;5 Weir Lane;Sandry;GB;white
"""


def half_done(by: User, now: datetime) -> None:
    """The sheet, matched and checked; outside of any transaction, because its file is kept."""
    mark = token("sheet", "customers")
    content = _SHEET.encode("cp1252")
    one = begin(content, "customers 2026.csv", Kind.CUSTOMERS, token=mark, by=by, now=now)
    match(one.pk, one.mapping, {}, seen=one.stamp, now=now)
    check(one.pk, now)
