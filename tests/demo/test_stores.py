"""The demo's stores: something of most kinds, figures that conflict, one part with none free."""

from shop.stores.typical import TYPICAL
from tests.demo.conftest import Seen


def test_the_shop_keeps_parts_of_its_own_beside_the_typical_ones(seen: Seen) -> None:
    assert len(seen.parts) >= 20
    assert seen.typical == len(TYPICAL)


def test_two_sources_differ_and_the_lower_is_used(seen: Seen) -> None:
    used = next(each for each in seen.parts if each["name"] == "Cell 21 × 70, bare")
    assert (used["current"], used["others"]) == (8000, [15_000])


def test_one_part_has_none_free(seen: Seen) -> None:
    assert "Speaker 28" in {each["name"] for each in seen.parts if each["free"] == 0}
