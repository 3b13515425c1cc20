"""Figures with a point or a comma: shown as the language has it, taken as anybody types them."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.forms import TextInput

from shop.stores.specs import Quantity, Unit
from shop.stores.units import millimetres, shown, typed_figure
from shop.web.figures import AnyDecimal, AnyFloat, pointed
from shop.web.speech import speaking


@pytest.mark.parametrize(("language", "said"), [("en-gb", "12.5 mm"), ("de", "12,5 mm")])
def test_a_figure_has_the_sign_of_its_language(language: str, said: str) -> None:
    with speaking(language):
        assert pointed("12.5 mm") == said


@pytest.mark.parametrize(
    ("language", "said"), [("en-gb", "26.15\u202fmm"), ("de", "26,15\u202fmm")]
)
def test_a_length_is_shown_so(language: str, said: str) -> None:
    with speaking(language):
        assert shown(26.15) == said


@pytest.mark.parametrize("language", ["en-gb", "de"])
@pytest.mark.parametrize("typed", ["12,5", "12.5", "12,5 mm", "1,25 cm"])
def test_a_length_is_taken_with_a_comma_in_any_language(language: str, typed: str) -> None:
    with speaking(language):
        assert millimetres(typed) == Decimal("12.5")


@pytest.mark.parametrize("language", ["en-gb", "de"])
@pytest.mark.parametrize("typed", ["3,7", "3.7"])
def test_a_number_is_taken_with_a_comma_in_any_language(language: str, typed: str) -> None:
    with speaking(language):
        assert AnyFloat().clean(typed) == 3.7
        assert AnyDecimal().clean(typed) == Decimal("3.7")


@pytest.mark.parametrize("typed", ["1,2,3", "1.234,5", "3,x"])
def test_what_is_no_number_stays_none(typed: str) -> None:
    for field in (AnyFloat(), AnyDecimal()):
        with pytest.raises(ValidationError):
            field.clean(typed)


def test_three_digits_after_a_comma_are_a_part_where_the_comma_is_the_point() -> None:
    current = Quantity("current_ma", "current", Unit.MA)
    with speaking("de"):
        assert typed_figure(current, "0,125 A") == 125
    with speaking("en-gb"), pytest.raises(ValueError, match="thousands"):
        typed_figure(current, "2,500 mA")


@pytest.mark.parametrize(("language", "typed"), [("de", "2.500 mAh"), ("en-gb", "2,500 mAh")])
def test_what_may_be_thousands_is_never_read_as_a_part(language: str, typed: str) -> None:
    charge = Quantity("charge_mah", "charge", Unit.MAH)
    with speaking(language), pytest.raises(ValueError, match=r"thousands|Tausender"):
        typed_figure(charge, typed)


@pytest.mark.parametrize(("language", "typed"), [("de", "2.500 mm"), ("en-gb", "1,250")])
def test_nor_is_a_length_in_millimetres(language: str, typed: str) -> None:
    with speaking(language), pytest.raises(ValueError, match=r"thousands|Tausender"):
        millimetres(typed)


@pytest.mark.parametrize("field", [AnyFloat, AnyDecimal])
def test_a_field_refuses_thousands_in_words(field: type[AnyFloat | AnyDecimal]) -> None:
    with speaking("en-gb"), pytest.raises(ValidationError, match="Leave the comma out"):
        field().clean("1,250")
    with speaking("de"), pytest.raises(ValidationError, match="ohne Trennzeichen"):
        field(widget=TextInput()).clean("1.250")


def test_three_digits_are_a_part_after_an_aught_or_the_own_sign() -> None:
    charge = Quantity("charge_mah", "charge", Unit.MAH)
    for language, typed, kept in [
        ("de", "0.125 Ah", 125), ("de", "1,250 Ah", 1250), ("en-gb", "0,125 Ah", 125),
        ("en-gb", "1.250 Ah", 1250), ("de", "2500", 2500),
    ]:  # fmt: skip
        with speaking(language):
            assert typed_figure(charge, typed) == kept


def test_the_browsers_own_field_for_numbers_sends_a_point_in_german_too() -> None:
    with speaking("de"):
        assert AnyFloat().clean("3.712") == 3.712
