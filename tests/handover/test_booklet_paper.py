"""A booklet as it is set: everything in it, nothing beside it, the same bytes for the same data."""

import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
import zxingcpp
from PIL import Image

from builds.handover.booklet_words.contents import Contents
from builds.handover.queries.booklet_paper import booklet_pdf, ready
from builds.handover.states import Type
from tests.handover.booklets import (
    DAY,
    LINK,
    full,
    glyphs_of,
    outside,
    pdf_of,
    pictures_of,
    text_of,
)

SIZES = list(Type.values)
HOSTILE = [
    "#set page(width: 9cm)", "*bold* _it_ `raw` $x^2$", r"\u{41} \ back", '"quoted" #"',
    "<b>&amp;</b>",
    "#eval(\"1+1\")", "@label <label>", "= Heading", "- list", "//comment", "/* c */", "~ -- ---",
    "{{ hilt }} {% url %}", "#read(\"/etc/hostname\")",
]  # fmt: skip


@pytest.mark.parametrize("size", SIZES)
def test_all_that_it_says_is_read_back(size: str) -> None:
    text = "".join(text_of(pdf_of(ready(full()), size)).replace("\u200b", "").split())
    for words in (
        "Copperfen", "for Abel", "Build 0131 · full install", "as of 24 November 2026", "Wake it",
        "press once", "a chime", "orange", "cyan", "Hearth", "1a and 1b: in any order",
        "Retention screw", "once 1a and 1b are off", "wants heat", "do not press on its card",
        "3000 mAh", "LW 01-0004", "264", "1.2 mA", "Empty in about 104 days.", "swung, no restart",
        "180 days from the day on which it leaves us.", "bench@shop.example", "01632 960101",
        "at most 60 % of its light", "Stay with it while it charges", "not for small children",
        "about half full", "page 2 of",
    ):  # fmt: skip
        assert "".join(words.split()) in text, words


@pytest.mark.parametrize("size", SIZES)
def test_it_is_a5_with_title_language_tags_and_an_outline(size: str) -> None:
    paper = pdf_of(ready(full()), size)
    assert {tuple(round(float(side)) for side in page.mediabox[2:]) for page in paper.pages} == {
        (420, 595)
    }
    assert paper.metadata
    assert paper.metadata.title == "Copperfen: booklet of build 0131"
    root: Any = paper.root_object
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "pdfuaid:part" in str(root["/Metadata"].get_data())
    heads = [str(each.title) for each in paper.outline if not isinstance(each, list)]
    assert heads[:3] == ["Read this first", "How to work it", "Sounds and colours"]


@pytest.mark.parametrize("size", SIZES)
def test_body_type_is_of_the_size_that_was_asked_for(size: str) -> None:
    sizes: list[float] = []

    def seen(text: str, _cm: object, matrix: list[float], _font: object, points: float) -> None:
        if "Never shine it" in text:
            sizes.append(round(points * abs(matrix[0]), 1))

    for page in pdf_of(ready(full()), size).pages:
        page.extract_text(visitor_text=seen)
    assert sizes
    assert min(sizes) == {"usual": 10, "large": 16}[size]


def test_the_same_data_are_the_same_bytes_in_another_process() -> None:
    program = (
        "import sys, django; django.setup()\n"
        "from tests.handover.booklets import DAY, full\n"
        "from builds.handover.queries.booklet_paper import booklet_pdf, ready\n"
        "for size in ('usual', 'large'):\n"
        "    sys.stdout.buffer.write(booklet_pdf(ready(full()), size, DAY))\n"
    )
    run = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True)
    made = ready(full())
    assert run.stdout == b"".join(booklet_pdf(made, size, DAY) for size in ("usual", "large"))


def test_any_other_fact_is_another_mark_but_the_day_of_leaving_is_not() -> None:
    said = full()
    assert said.mark == full().mark
    assert replace(said, called="Abe").mark != said.mark
    assert replace(said, until="1 May 2027", as_of="26 November 2026").mark == said.mark


@pytest.mark.parametrize("words", HOSTILE)
def test_markup_of_a_customer_stands_as_it_was_typed(words: str) -> None:
    told = replace(full(), hilt=words, called=words, leave=((words, words),), warranty=words)
    paper = pdf_of(ready(told), Type.USUAL)
    text = text_of(paper).replace("\u200b", "")
    assert text.replace(" ", "").count(words.replace(" ", "")) >= 4
    assert len(paper.pages) < 12


def test_names_in_greek_cyrillic_and_with_accents_have_their_shapes() -> None:
    name = "Ζωή Đỗ Žižka Ёлка Łódź Şahin Ő"
    made = ready(replace(full(), hilt=name, called=name))
    assert made.lacks == ()
    paper = pdf_of(made, Type.USUAL)
    assert name in text_of(paper)
    assert all(glyph for page in paper.pages for glyph in glyphs_of(page))


def test_signs_without_a_shape_are_replaced_and_said() -> None:
    made = ready(replace(full(), called="Ren 蓮 🌸\u202eevil\u2066 a\u0000b"))
    assert made.lacks == ("蓮", "🌸")
    for size in SIZES:
        paper = pdf_of(made, size)
        text = text_of(paper)
        assert "for Ren \ufffd \ufffdevil a b" in text
        assert "A sign that this booklet’s type lacks stands as \ufffd." in text
        assert all(glyph for page in paper.pages for glyph in glyphs_of(page))


@pytest.mark.parametrize("size", SIZES)
def test_nothing_stands_in_the_margins(size: str) -> None:
    for made in (ready(full()), ready(_endless())):
        assert outside(made, size) == []


def _endless() -> Contents:
    word, long = "W" * 80, "Antidisestablishmentarianism-" * 170
    return full(
        hilt=word, called="Ω" * 60, shop=word, warranty=long, leave=((word, word * 2),),
        licences=((word, long[:300]),), mail="m" * 60 + "@shop.example", ours=((word, word),),
        cap=long[:200],
    )  # fmt: skip


def test_five_thousand_letters_go_on_over_the_pages() -> None:
    long = "word " * 1000
    paper = pdf_of(ready(full(warranty=long)), Type.USUAL)
    assert text_of(paper).count("word ") >= 995


@pytest.mark.parametrize("size", SIZES)
def test_the_code_leads_to_the_page_and_without_an_address_there_is_none(size: str) -> None:
    found = [
        code.text
        for picture in pictures_of(ready(full()), size, 144)
        for code in zxingcpp.read_barcodes(Image.open(BytesIO(picture)))
    ]
    assert found == [LINK]
    without = ready(full(link=""))
    assert "shop.example" in text_of(pdf_of(without, size))
    assert not any(
        zxingcpp.read_barcodes(Image.open(BytesIO(picture)))
        for picture in pictures_of(without, size)
    )


@pytest.mark.parametrize("size", SIZES)
def test_what_is_not_known_is_left_out(size: str) -> None:
    bare = full(
        lengths=(), beings=(), slots=(), licences=(), cap="", apart=(), back=(), ours=(),
        battery=(), leave=(), inside=(), blade=(), measured=(), tried=(), warranty_days=0,
        warranty="", mail="", phone="", link="",
    )  # fmt: skip
    text = text_of(pdf_of(ready(bare), size))
    for head in ("How to work it", "Sounds and colours", "Taking it apart", "What we measured"):
        assert head not in text.replace("How to work it, take it apart", "")
    assert "Charging" in text


def test_heads_of_a_table_are_repeated_on_its_next_page() -> None:
    rows = tuple(full().measured * 60)
    paper = pdf_of(ready(full(measured=rows)), Type.USUAL)
    pages = [
        page.extract_text() for page in paper.pages if "Current drawn asleep" in page.extract_text()
    ]
    assert len(pages) > 2
    assert all("Reading" in page for page in pages)
