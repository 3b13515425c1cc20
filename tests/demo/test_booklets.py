"""The booklet of every build of the demo, in both sizes: nothing beside the page or missing."""

from io import BytesIO

import pytest
import zxingcpp
from PIL import Image

from builds.handover.booklet_words.contents import Contents
from builds.handover.queries.booklet_paper import ready
from builds.handover.states import Type
from tests.demo.conftest import ADDRESS, Seen
from tests.handover.booklets import glyphs_of, outside, pdf_of, pictures_of, text_of


@pytest.fixture
def booklets(seen: Seen) -> list[Contents]:
    return seen.booklets


@pytest.mark.parametrize("size", list(Type.values))
def test_every_one_is_set_whole(size: str, booklets: list[Contents]) -> None:
    assert len(booklets) > 15
    for said in booklets:
        made = ready(said)
        assert made.lacks == (), said.hilt
        paper = pdf_of(made, size)
        assert all(glyph for page in paper.pages for glyph in glyphs_of(page)), said.hilt
        text = "".join(text_of(paper).replace("\u200b", "").split())
        for words in (said.hilt, said.called, *(slot.word for slot in said.slots)):
            assert "".join(words.split()) in text, (said.hilt, words)


@pytest.mark.parametrize("size", list(Type.values))
def test_nothing_of_any_stands_in_the_margins(size: str, booklets: list[Contents]) -> None:
    for said in booklets:
        assert outside(ready(said), size) == [], said.hilt


def test_codes_of_those_that_were_made_lead_to_the_pages_of_their_hilts(
    booklets: list[Contents],
) -> None:
    linked = [said for said in booklets if said.link]
    assert {said.hilt for said in linked} >= {"Weir House", "Osier"}
    for said in linked:
        assert said.link.startswith(f"{ADDRESS}/your/hilt/")
        last = pictures_of(ready(said), Type.USUAL, 144)[-1]
        codes = zxingcpp.read_barcodes(Image.open(BytesIO(last)))
        assert [code.text for code in codes] == [said.link]
