"""The sheet of marks: read back, and the mark measured as it is printed."""

import json
from datetime import date
from io import BytesIO

import pytest
import typst
from PIL import Image, ImageChops
from pypdf import PdfReader

from builds.dispatch.models import Parcel
from builds.dispatch.queries.marks import Side, marks_data, marks_pdf, side_for
from builds.engineering import lithium
from builds.engineering.lithium import Cells, Classed
from shop.web.paper import FONTS, PAPER

DOTS_MM = 10  # dots a millimetre of the pictures that are measured


def classed(*ways: str) -> Classed:
    """Cells by US ground, carried in those ways."""
    items = tuple(Cells("ion", "cell", 1, 10.8, carried=way, needed=1) for way in ways)
    found = lithium.classify(lithium.Parcel(items, gross_kg=1), "us-ground", date(2026, 11, 27))
    assert found.allowed
    return found


def picture(found: Classed, side: Side) -> Image.Image:
    """The sheet as a printer draws it."""
    made = typst.compile(
        str(PAPER / "mark.typ"),
        root=str(PAPER),
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        format="png",
        ppi=DOTS_MM * 25.4,
        sys_inputs={"data": json.dumps({**marks_data(found, side), "size": "a4"})},
    )
    assert isinstance(made, bytes)
    return Image.open(BytesIO(made)).convert("RGB")


def is_red(dot: tuple[int, int, int]) -> bool:
    """Whether a dot is of the hatching."""
    red, green, blue = dot
    return red > 150 and green < 100 and blue < 100


def red_box(image: Image.Image) -> tuple[float, float]:
    """Width and height in mm of all that is red."""
    red, green, _blue = image.split()
    strong = red.point([255 if value > 150 else 0 for value in range(256)])
    pale = green.point([255 if value < 100 else 0 for value in range(256)])
    left, top, right, bottom = ImageChops.darker(strong, pale).getbbox() or (0, 0, 0, 0)
    return (right - left) / DOTS_MM, (bottom - top) / DOTS_MM


@pytest.mark.parametrize(
    ("size", "width", "height"), [("a4", 210.0, 297.0), ("us-letter", 215.9, 279.4)]
)
def test_sheet_is_of_the_shops_paper_and_says_all(size: str, width: float, height: float) -> None:
    found = classed("loose", "packed-with")
    (sheet,) = PdfReader(BytesIO(marks_pdf(found, Side.FULL, size))).pages
    assert float(sheet.mediabox.width) / 72 * 25.4 == pytest.approx(width, abs=0.1)
    assert float(sheet.mediabox.height) / 72 * 25.4 == pytest.approx(height, abs=0.1)
    read = " ".join(sheet.extract_text().split())
    assert "UN3480" in read
    assert "UN3481" in read
    assert "FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT" in read
    assert "Print at 100 %" in read


def test_sheet_says_what_the_air_waybill_is_asked() -> None:
    cells = Cells(
        "ion", "cell", 3, 10.8, carried="packed-with", needed=3, charge_percent=30,
        test_summary=True,
    )  # fmt: skip
    parcel = lithium.Parcel((cells,), gross_kg=1, net_kg=0.2, damaged=False)
    found = lithium.classify(parcel, "air", date(2026, 11, 27))
    assert found.allowed
    for classed_so, asked in ((found, True), (classed("packed-with"), False)):
        (sheet,) = PdfReader(BytesIO(marks_pdf(classed_so, Side.FULL, "a4"))).pages
        read = " ".join(sheet.extract_text().split())
        assert ("air waybill that the cells comply with PI 966 II" in read) is asked


@pytest.mark.parametrize(("side", "height"), [(Side.FULL, 100), (Side.SMALL, 70)])
def test_mark_is_printed_to_size(side: Side, height: float) -> None:
    measured = red_box(picture(classed("packed-with"), side))
    assert measured == pytest.approx((100, height), abs=0.3)


def test_hatching_is_five_millimetres_or_wider() -> None:
    image = picture(classed("packed-with"), Side.FULL)
    left = 22 * DOTS_MM  # the margin
    rows = range(60 * DOTS_MM, 80 * DOTS_MM)
    widest = max(
        x for x in range(left, left + 20 * DOTS_MM)
        if any(is_red(image.getpixel((x, y))) for y in rows)
    )  # fmt: skip
    assert (widest + 1 - left) / DOTS_MM >= 5


def test_small_mark_is_offered_where_no_face_has_room() -> None:
    assert side_for(Parcel()) == Side.FULL
    assert side_for(Parcel(length_mm=400, width_mm=90, height_mm=80)) == Side.SMALL
    assert side_for(Parcel(length_mm=400, width_mm=100, height_mm=80)) == Side.FULL
