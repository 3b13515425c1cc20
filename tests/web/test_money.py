"""Sums of money: whole minor units inside, typed and written as people do."""

import pytest
from django import forms

from shop.web import money


@pytest.mark.parametrize(
    ("text", "currency", "amount"),
    [
        ("12", "GBP", 1200), ("12.5", "GBP", 1250), ("12,50", "EUR", 1250), ("0.07", "GBP", 7),
        ("£ 3.20", "GBP", 320), ("1200", "JPY", 1200), ("1.234", "KWD", 1234), ("0", "GBP", 0),
    ],
)  # fmt: skip
def test_sum_is_read_as_people_type_it(text: str, currency: str, amount: int) -> None:
    assert money.minor(text, currency) == amount


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("twelve", "such as 12.50"), ("", "such as"), ("-3", "such as"), ("1.2.3", "such as"),
        ("1.005", "no smaller coin than 0.01"), ("99999999999", "too large"),
    ],
)  # fmt: skip
def test_what_is_no_sum_is_refused_in_a_sentence(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        money.minor(text, "GBP")


def test_currency_without_coins_takes_none() -> None:
    with pytest.raises(ValueError, match="no smaller coin than 1"):
        money.minor("12.5", "JPY")


def test_every_sum_comes_back_as_it_was_typed() -> None:
    for currency in ("GBP", "JPY", "KWD"):
        for amount in (0, 1, 9, 10, 99, 100, 123456):
            assert money.minor(money.typed(amount, currency), currency) == amount


def test_sum_is_written_with_its_currency() -> None:
    assert money.written(123450, "GBP") == "£1,234.50"
    assert money.written(1200, "JPY").endswith("¥1,200")
    assert money.written(-1200500, "KWD") == "-KWD\u00a01,200.500"
    assert money.written(None, "GBP") == ""


def test_wire_is_paid_by_the_metre() -> None:
    assert money.times(120, 2400, per=1000) == 288
    assert money.times(1, 1500, per=1000) == 2  # half a coin is rounded up


def test_field_keeps_what_was_typed_and_says_what_is_wrong() -> None:
    class Form(forms.Form):
        cost = money.MoneyField(currency="GBP")

    assert Form({"cost": ""}).is_valid()
    form = Form({"cost": "a few"})
    assert not form.is_valid()
    assert "such as 12.50" in form.errors["cost"][0]
    assert 'value="a few"' in str(form["cost"])
    assert 'value="12.50"' in str(Form(initial={"cost": 1250})["cost"])


@pytest.mark.parametrize(
    ("text", "currency"),
    [("1,150", "GBP"), ("1.150", "EUR"), ("£ 1,620", "GBP"), ("1,150", "KWD"), ("12,000", "JPY")],
)
def test_thousands_are_asked_for_without_their_sign(text: str, currency: str) -> None:
    with pytest.raises(ValueError, match="Leave the sign out of thousands"):
        money.minor(text, currency)


def test_three_digits_are_coins_where_the_currency_has_them() -> None:
    assert money.minor("1.150", "KWD") == 1150
