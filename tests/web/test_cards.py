"""The number of a card is told by its check digit, however it is typed."""

import pytest

from shop.web.cards import holds_card_number


@pytest.mark.parametrize(
    "text",
    [
        "4242424242424242",
        "paid with 4242 4242 4242 4242, thanks",
        "5555-5555-5555-4444",
        "3782 822463 10005",
        "4222222222222",  # 13 digits
    ],
)
def test_number_of_a_card_is_told(text: str) -> None:
    assert holds_card_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "ref 2026-031",
        "4242 4242 4242 4243",  # the check digit is another
        "424242424242",  # 12 digits
        "42424242424242424242",  # 20 digits
        "01632 960 220",
        "0000 0000 0000 0000",
    ],
)
def test_other_numbers_are_let_be(text: str) -> None:
    assert not holds_card_number(text)
