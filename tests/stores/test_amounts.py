"""How many, as people type it: pieces, or a length."""

import pytest
from django import forms

from shop.stores.forms.fields import read_amount, typed_amount
from shop.stores.models import Part

PIECES, WIRE = Part(counted="piece"), Part(counted="mm")


@pytest.mark.parametrize(
    ("text", "part", "read"),
    [("12", PIECES, 12), ("١٢", PIECES, 12), ("2.5 m", WIRE, 2500), ("1,5", WIRE, 1500)],
)
def test_amount_is_read_as_the_part_is_counted(text: str, part: Part, read: int) -> None:
    assert read_amount(text, part) == read


@pytest.mark.parametrize(
    ("text", "part", "why"),
    [
        ("0", PIECES, "Type 1 or more."),
        ("0 mm", WIRE, "Type 1 or more."),
        ("10000001", PIECES, "too many"),
        ("99999999999999999 m", WIRE, "too many"),
        ("1e9", PIECES, "whole number"),
        ("-3", PIECES, "whole number"),
        ("²", PIECES, "whole number"),
        ("-2 m", WIRE, "Type a length"),
        ("1e9", WIRE, "Type a length"),
        ("nan", WIRE, "Type a length"),
        ("1/0 in", WIRE, "Type a length"),
    ],
)
def test_what_is_no_amount_is_said_in_words(text: str, part: Part, why: str) -> None:
    with pytest.raises(forms.ValidationError, match=why):
        read_amount(text, part)


def test_none_may_be_counted() -> None:
    assert read_amount("0", PIECES, least=0) == 0


@pytest.mark.parametrize("quantity", [1, 999, 1000, 1_234_567, 9_999_999])
@pytest.mark.parametrize("part", [PIECES, WIRE])
def test_amount_that_stands_in_a_field_is_read_back_as_it_was(quantity: int, part: Part) -> None:
    assert read_amount(typed_amount(quantity, part), part) == quantity
