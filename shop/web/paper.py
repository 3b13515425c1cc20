"""Makes PDFs from the templates in templates/paper. Same data, same bytes.

Data goes in as one JSON text and is never part of a template, so whatever a customer is called
stands on the paper as it was typed.
"""

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import typst
from django.conf import settings

from shop.web.glyphs import FOLDERS

PAPER = settings.BASE_DIR / "templates" / "paper"
FONTS = settings.BASE_DIR / "static" / "vendor" / "atkinson-hyperlegible"


def pdf(template: str, data: Mapping[str, Any], size: str = "a4") -> bytes:
    """A page or more as PDF.

    :param template: its name in templates/paper, without ending.
    :param data: what stands on it; values that JSON knows.
    :param size: of the paper, by its name in typst: a4 or us-letter.
    """
    made = typst.compile(
        str(PAPER / f"{template}.typ"),
        root=str(PAPER),
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps({**data, "size": size})},
    )
    return _one(made)


def accessible_pdf(template: str, data: Mapping[str, Any], at: datetime) -> bytes:
    """A paper that is read on a screen too, by eye or by ear: PDF/UA-1, checked as it is made.

    :param data: settled by ``shop.web.glyphs``; the template sets it in the families named there.
    :param at: when it was made, as the file tells; a fact of the data, so that bytes stay equal.
    """
    made = typst.compile(
        str(PAPER / f"{template}.typ"),
        root=str(PAPER),
        font_paths=[str(folder) for folder in FOLDERS],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1"],
        timestamp=int(at.timestamp()),
    )
    return _one(made)


def _one(made: Any) -> bytes:
    if not isinstance(made, bytes):
        raise TypeError("one document was asked for")
    return made
