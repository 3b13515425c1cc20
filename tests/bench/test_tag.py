"""The printed tag: its code leads to the sheet, its words say where the cell is."""

import re

import zxingcpp
from django.test import Client
from PIL import Image, ImageDraw

from builds.models import Build
from shop.house.models import House
from tests.bench.pages import words

MODULE = 8  # pixels for one square of the code


def tag(client: Client, build: Build) -> str:
    return client.get(f"/build/{build.number}/tag/").content.decode()


def drawn(page: str) -> Image.Image:
    """The code of a page as a printer draws it: a pen that goes and draws along lines."""
    svg = page[page.index("print-qr") :]
    side = int(svg.split('viewBox="0 0 ')[1].split()[0]) * MODULE
    picture = Image.new("L", (side, side), "white")
    ink, x, y = ImageDraw.Draw(picture), 0.0, 0.0
    for deed, numbers in re.findall(r"([Mmh])([-\d. ]+)", svg.split(' d="')[1].split('"')[0]):
        way = [float(number) * MODULE for number in numbers.split()]
        if deed == "h":
            ink.rectangle((x, y - MODULE / 2, x + way[0] - 1, y + MODULE / 2 - 1), fill="black")
            x += way[0]
        else:
            x, y = (way[0], way[1]) if deed == "M" else (x + way[0], y + way[1])
    return picture


def test_code_leads_to_the_sheet_at_the_benchs_address(bench_client: Client, build: Build) -> None:
    read = zxingcpp.read_barcodes(drawn(tag(bench_client, build)))
    assert [code.text for code in read] == [f"http://192.0.2.10:8000/build/{build.number}/"]


def test_code_leads_to_where_the_page_was_opened_without_a_bench_address(
    bench_client: Client, build: Build
) -> None:
    House.objects.update(bench_url="")
    read = zxingcpp.read_barcodes(drawn(tag(bench_client, build)))
    assert [code.text for code in read] == [f"http://testserver/build/{build.number}/"]


def test_tag_names_tray_hilt_number_and_customer(bench_client: Client, build: Build) -> None:
    assert f"{build.tray} Copperfen {build} · Ines" in words(tag(bench_client, build))


def test_tag_warns_while_nobody_has_looked(bench_client: Client, build: Build) -> None:
    assert "CELL INSIDE? Do not heat." in words(tag(bench_client, build))


def test_stranger_is_sent_to_sign_in(stranger: Client, build: Build) -> None:
    assert stranger.get(f"/build/{build.number}/tag/").url.startswith("/sign-in/")
