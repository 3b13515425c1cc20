"""Help: there from every page, and found by a plain word."""

from django.test import Client

from builds.bench.queries.help_page import PARTS
from tests.bench.pages import words


def test_help_is_linked_from_every_page(bench_client: Client, house: object) -> None:
    assert 'href="/help/"' in bench_client.get("/bench/").content.decode()


def test_every_part_has_its_heading_and_its_text(bench_client: Client, house: object) -> None:
    page = bench_client.get("/help/").content.decode()
    for part in PARTS:
        text = page.split(f'id="{part.code}"')[1].split("</section>")[0]
        assert f"<h2>{part.heading}</h2>" in text
        assert len(words(text)) > 60


def test_word_leaves_the_parts_that_speak_of_it(bench_client: Client, house: object) -> None:
    page = bench_client.get("/help/?about=cut-off").content.decode()
    assert 'id="dispatch"' in page
    assert 'id="arrives"' not in page


def test_word_of_nothing_says_what_to_try(bench_client: Client, house: object) -> None:
    assert "Nothing about “zebra”" in words(bench_client.get("/help/?about=zebra"))
