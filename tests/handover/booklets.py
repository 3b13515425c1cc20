"""A booklet with something in every part of it, and what is read of a PDF."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from json import dumps
from typing import Any
from uuid import uuid4

import typst
from PIL import Image
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

from builds.handover.actions.booklets import make_booklet, publish_booklet
from builds.handover.booklet_words.contents import (
    Being,
    Contents,
    Inside,
    Length,
    Measured,
    Place,
    Step,
    Steps,
    Told,
)
from builds.handover.models import Booklet
from builds.handover.queries.booklet_paper import POINTS, Ready, booklet_pdf
from builds.handover.states import Type
from builds.progress.models import Build
from shop.house.queries import house
from shop.models import User
from shop.web.glyphs import FOLDERS
from shop.web.paper import PAPER

DAY = datetime(2026, 11, 24, tzinfo=UTC)
MARGINS_MM = (16.4, 13.4)  # inside and outside, less a dot
ENDS_MM = 9.0  # above and below: there stand head and foot
LINK = "https://shop.example/your/hilt/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz/"


def full(**more: Any) -> Contents:
    """Everything that a booklet can say, once."""
    first, second = Step("1a", "Pommel", "three turns"), Step("1b", "Retention screw", "2 mm key")
    either = Steps("1a and 1b: in any order", (first, second))
    last = Steps("", (Step("2", "Chassis", "do not twist", "once 1a and 1b are off"),))
    waking = Told("Wake it", "press once", "green", "a chime", "wait")
    said = Contents(
        lang="en", shop="Fenlight Works", hilt="Copperfen", called="Abel", number="0131",
        kind="full install", as_of="24 November 2026", length="265 mm",
        lengths=(Length("emitter", 60, 38, holds_blade=True), Length("grip", 205, 34)),
        beings=(
            Being("When it is asleep", (waking,)),
            Being("When it hangs", (Told("Turn it off", "turn the key under the pommel"),)),
        ),
        slots=(
            Place(1, "Ember", "#ff4000", "orange", "steady", "Hearth", "Low drum"),
            Place(2, "Frost", "#00ffff", "cyan", "pulsing"),
        ),
        cap="The blade is set to at most 60 % of its light.",
        licences=(("Hearth", "our own work, for you to use and not to sell"),),
        apart=(either, last), back=(last, either), ours=(("Neck", "wants heat"), ("Lens", "")),
        by_port=True, battery=(("Battery", "Cell 18 × 65"), ("Capacity", "3000 mAh")),
        leave=(("Sound board 18 × 3", "do not press on its card"),),
        inside=(Inside("Sound board 18 × 3", "grip", "LW 01-0004"), Inside("Speaker 24", "grip")),
        blade=(("Blade", "Pixel blade, 92 cm"), ("Pixels", "264")),
        measured=(
            Measured("Current drawn asleep", "1.2 mA", "at most 2 mA", "Empty in about 104 days."),
        ),
        tried=("every slot played", "swung, no restart"),
        warranty_days=180, warranty="We put right what fails by itself.",
        mail="bench@shop.example", phone="01632 960101", link=LINK,
    )  # fmt: skip
    return replace(said, **more)


def published(build: Build, by: User, now: datetime) -> Booklet:
    """A booklet of a build that was made and published, in usual type."""
    make_booklet(build, house(), token=uuid4(), by=by, now=now)
    made = Booklet.objects.filter(build=build, type_size=Type.USUAL)[0]
    publish_booklet(build.pk, house(), seen=made.pk, by=by, now=now)
    return made


def pdf_of(made_of: Ready, size: str) -> PdfReader:
    """A booklet that was set."""
    return PdfReader(BytesIO(booklet_pdf(made_of, size, DAY)))


def text_of(paper: PdfReader) -> str:
    """All of its words, as one line, with nothing of the breaks between lines."""
    return " ".join(" ".join(page.extract_text() for page in paper.pages).split())


def pictures_of(made_of: Ready, size: str, dots_per_inch: float = 72) -> list[bytes]:
    """Its pages as PNG, by the same typesetter from the same words."""

    made: Any = typst.compile(
        input=str(PAPER / "booklet.typ"),
        root=str(PAPER),
        font_paths=[str(folder) for folder in FOLDERS],
        ignore_system_fonts=True,
        format="png",
        ppi=dots_per_inch,
        sys_inputs={"data": dumps({**made_of.data, "pt": POINTS[Type(size)]})},
    )
    return made if isinstance(made, list) else [made]


def glyphs_of(page: PageObject) -> Iterator[int]:
    """The number of every glyph that a page shows; 0 is the shape of a sign without one."""
    stream = ContentStream(page.get_contents(), page.pdf)
    for operands, operator in stream.operations:
        if operator in {b"Tj", b"TJ"}:
            parts = operands[0] if isinstance(operands[0], list) else [operands[0]]
            for part in parts:
                code = getattr(part, "original_bytes", None)
                if code is not None:
                    yield from (int.from_bytes(code[at : at + 2]) for at in range(0, len(code), 2))


def ink_in_margins(picture: bytes, number: int) -> int:
    """How many dots of a page, counted from 1, stand beside what it may be printed on."""
    page = Image.open(BytesIO(picture)).convert("L")
    inner, outer = MARGINS_MM
    left, right = (inner, outer) if number % 2 else (outer, inner)
    wide, high = page.size
    edge = [int(mm / 25.4 * 72) for mm in (left, right, ENDS_MM)]
    bands = [
        (0, 0, edge[0], high), (wide - edge[1], 0, wide, high),
        (0, 0, wide, edge[2]), (0, high - edge[2], wide, high),
    ]  # fmt: skip
    return sum(sum(page.crop(band).histogram()[:250]) for band in bands)


def outside(made_of: Ready, size: str) -> list[int]:
    """The pages of a booklet on which something stands in the margins."""
    pictures = enumerate(pictures_of(made_of, size), start=1)
    return [number for number, picture in pictures if ink_in_margins(picture, number)]
