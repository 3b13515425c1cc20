"""A shop's own 5,000 rows with faults of every sort: each named by row and column, no other."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from builds.importing.models import Import
from builds.importing.states import State
from builds.models import Build
from shop.people.models import Customer, User
from shop.stores.models import Part, StockRow
from tests.importing.sheets import checked, kept, said, undone, xlsx
from tests.makers import make_customer, make_part

pytestmark = pytest.mark.django_db
LATER = timedelta(minutes=5)
Sheet = list[list[Any]]
# Row as the owner's program numbers it → column (0 is A) → what stands there instead.
Faults = Mapping[int, Mapping[int, Any]]

PEOPLE = ["Called", "Full name", "E-mail", "Telephone", "Postal address", "Town", "Country"]
PARTS = [
    "Kind", "Name", "Supplier", "Cost", "Price", "Who says so", "Diameter (mm)", "Depth (mm)",
    "Resistance (ohm)", "Power at most (W)", "Packs of",
]  # fmt: skip


def people(many: int) -> Sheet:
    return [
        [f"Maud {n}", f"Maud {n} Aldous", f"maud{n}@example.com", f"01632 960{n % 200:03d}",
         f"{n} Mill Row", "Northwick", "GB"]
        for n in range(many)
    ]  # fmt: skip


def speakers(many: int) -> Sheet:
    return [
        ["speaker", f"speaker {n}", "Fenland Sounds", 3.2, 8.5, "data sheet", 28, 8, 8, 3, 1]
        for n in range(many)
    ]


def with_faults(headings: list[str], rows: Sheet, faults: Faults) -> bytes:
    """The workbook, with what stands wrong in it put there."""
    sheet = [headings, *(list(row) for row in rows)]
    for number, cells in faults.items():
        for column, value in cells.items():
            sheet[number - 1][column] = value
    return xlsx(sheet)


def found_at(one: Import) -> set[tuple[int, int | None]]:
    """Row and column of everything that stops an import."""
    return set(one.findings.filter(stops=True).values_list("row", "column"))


CUSTOMER_FAULTS: Faults = {
    12: {2: "maud at example"},
    57: {2: "maud@example"},
    101: {0: None, 1: None},
    333: {1: "M" * 121},
    480: {2: "maud5@example.com"},
    777: {3: "ask her brother"},
    901: {6: "Atlantis"},
    1200: {2: "#REF!"},
    1500: {0: "x" * 61, 3: "call me"},
    2222: {4: "7 Mill\u0085Row"},
    3003: {2: "known@example.com"},
    4100: {6: "Englund"},
    4444: {2: "maud 9@example.com"},
    5000: {3: "0" * 41},
    5001: {2: "two@example.com, three@example.com"},
    # The same sorts once more, at other places and written otherwise.
    600: {2: "@example.com"},
    650: {2: "maud@"},
    700: {2: "maud@exa mple.com"},
    750: {2: "m" * 250 + "@example.com"},
    800: {2: "MAUD7@Example.com"},
    850: {2: "KNOWN@example.com"},
    900: {2: "#N/A"},
    950: {1: "#NAME?"},
    1000: {3: "n/a"},
    1050: {3: "#DIV/0!"},
    1100: {4: "x" * 401},
    1150: {5: "y" * 401},
    1201: {6: "GBR1"},
    1250: {6: 44},
    1300: {0: "#VALUE!"},
    1350: {1: None, 0: None},
    1400: {4: "a\u0085b"},
    1450: {5: "#NULL!"},
    1551: {6: date(2026, 12, 14)},
    1600: {3: "+44 1632 960100 (evenings)"},
    1650: {1: "Ma\u0085ud"},
    1700: {0: "z" * 80},
    1750: {2: True},
    1800: {6: "??"},
}
PART_FAULTS: Faults = {
    3: {0: "loudhailer"},
    8: {0: None},
    21: {6: 2800},
    34: {6: "28a"},
    55: {3: 3.205},
    56: {4: "8.50 EUR"},
    77: {4: "eight"},
    80: {4: -1},
    99: {1: "speaker 5"},
    120: {1: "s" * 81},
    121: {1: None},
    150: {7: None},
    151: {8: "soft"},
    200: {5: None},
    210: {9: 0},
    222: {10: 1.5},
    230: {10: 0},
    300: {3: "1.234,50"},
    301: {6: date(2026, 12, 14)},
    350: {1: "known part"},
}


def test_5000_customers_are_kept_only_when_all_are_right(owner: User, now: datetime) -> None:
    known = make_customer(now)
    Customer.objects.filter(pk=known.pk).update(email_folded="known@example.com")
    one = checked(with_faults(PEOPLE, people(5000), CUSTOMER_FAULTS), "customers", owner, now)
    planted = {(row, column) for row, cells in CUSTOMER_FAULTS.items() for column in cells}
    planted -= {(101, 0), (1350, 0)}  # a row without a name is said once
    assert len(planted) == 40
    assert found_at(one) == planted
    assert (one.rows, one.stops, one.state) == (5000, len(planted), State.CHECKED)
    assert Customer.objects.count() == 1

    clean = checked(with_faults(PEOPLE, people(5000), {}), "customers", owner, now)
    assert said(clean) == {}
    brought = kept(clean, owner, now)
    assert (brought.state, brought.new) == (State.KEPT, 5000)
    assert Customer.objects.count() == 5001
    assert brought.blob is None

    assert undone(brought, owner, now + LATER).state == State.UNDONE
    assert list(Customer.objects.all()) == [known]


def test_faults_of_parts_are_named_by_row_and_column(owner: User, now: datetime) -> None:
    make_part(owner, now, name="Known part")
    one = checked(with_faults(PARTS, speakers(400), PART_FAULTS), "parts", owner, now)
    planted = {(row, column) for row, cells in PART_FAULTS.items() for column in cells}
    assert found_at(one) == planted
    assert Part.objects.count() == 1
    clean = kept(checked(with_faults(PARTS, speakers(400), {}), "parts", owner, now), owner, now)
    assert (clean.state, clean.new) == (State.KEPT, 400)
    assert undone(clean, owner, now + LATER).state == State.UNDONE
    assert not Part.objects.filter(retired=False).exclude(name="Known part").exists()


JOBS = ["Full name", "E-mail", "Kind of job", "Hilt", "Needed by", "Promised for", "Leaves",
        "Customer's reference", "Stage"]  # fmt: skip
MONDAY = date(2026, 11, 30)
JOB_FAULTS: Faults = {
    4: {2: "polish"},
    6: {3: None},
    9: {4: "31/02/2026"},
    11: {4: "soon"},
    12: {4: "14/12/26"},
    14: {4: 46_000},
    20: {5: date(2026, 12, 1)},
    21: {5: date(2025, 12, 1)},
    22: {5: date(2036, 12, 1)},
    25: {6: "by owl"},
    30: {7: "R-1"},
    33: {8: "install"},
    40: {1: "nobody at example"},
    41: {0: None, 1: None},
}


def jobs(many: int) -> Sheet:
    return [
        [f"Maud {n % 30} Aldous", f"maud{n % 30}@example.com", "full install", f"Hazel {n}",
         date(2026, 12, 20), MONDAY, "by post", f"R-{n}", "booked"]
        for n in range(many)
    ]  # fmt: skip


def test_faults_of_open_orders_are_named(owner: User, now: datetime) -> None:
    faults = dict(JOB_FAULTS)
    rows = jobs(60)
    rows[28][0:2] = rows[1][0:2]  # row 30 is the customer of row 3, with her reference
    one = checked(with_faults(JOBS, rows, faults), "orders", owner, now)
    planted = {(row, column) for row, cells in faults.items() for column in cells} - {(41, 1)}
    assert found_at(one) == planted
    assert not Build.objects.exists()


def test_open_orders_are_brought_in_and_withdrawn(owner: User, now: datetime) -> None:
    one = kept(checked(with_faults(JOBS, jobs(60), {}), "orders", owner, now), owner, now)
    assert one.state == State.KEPT
    assert Customer.objects.count() == 30
    build = Build.objects.get(hilt__name="Hazel 7")
    order = build.item.order
    assert (order.reference, order.needed_by) == ("R-7", date(2026, 12, 20))
    assert build.promises.get().day == MONDAY
    assert undone(one, owner, now + LATER).state == State.UNDONE
    assert set(Build.objects.values_list("state", flat=True)) == {"withdrawn"}
    # Withdrawn is not there: the corrected sheet goes in without a word.
    assert checked(with_faults(JOBS, jobs(60), {}), "orders", owner, now + LATER).is_clean


def test_faults_of_stock_are_named(owner: User, now: datetime) -> None:
    parts = [make_part(owner, now, 5, name=f"part {n}") for n in range(12)]
    rows: Sheet = [[part.label, n + 1, "counted", 1.5] for n, part in enumerate(parts)]
    faults: Faults = {
        3: {0: "P9999"}, 4: {1: -3}, 5: {1: "2.5"}, 6: {1: None}, 7: {2: "stolen"},
        8: {3: "1.505"}, 9: {0: parts[0].name}, 10: {1: "a dozen"}, 11: {1: 99_999_999},
    }  # fmt: skip
    headings = ["Part", "How many", "Counted or received", "Cost of one"]
    one = checked(with_faults(headings, rows, faults), "stock", owner, now)
    assert found_at(one) == {(row, col) for row, cells in faults.items() for col in cells}
    before = StockRow.objects.count()
    clean = kept(checked(with_faults(headings, rows, {}), "stock", owner, now), owner, now)
    assert (clean.state, clean.changed) == (State.KEPT, 12)
    assert [part.level.on_hand for part in Part.objects.order_by("number")] == list(range(1, 13))
    undone(clean, owner, now + LATER)
    assert {part.level.on_hand for part in Part.objects.all()} == {5}
    assert StockRow.objects.count() == before + 24
