"""How strips behave, whatever their length and colour."""

from random import Random

from builds.engineering import pixels

CASES = 1000


def test_more_of_anything_never_draws_less() -> None:
    random = Random(5)
    for _ in range(CASES):
        number, grey = random.randint(1, 300), random.randint(0, 254)
        bright = random.uniform(0, 0.99)
        base = pixels.strip_current_a(number, f"#{grey:02x}4080", 12, 0.6, bright)
        assert pixels.strip_current_a(number + 1, f"#{grey:02x}4080", 12, 0.6, bright) > base
        assert pixels.strip_current_a(number, f"#{grey + 1:02x}4080", 12, 0.6, bright) >= base
        assert pixels.strip_current_a(number, f"#{grey:02x}4080", 12, 0.6, bright + 0.01) > base
        assert pixels.strip_current_a(number, f"#{grey:02x}4080", 20, 0.6, bright) >= base


def test_brightness_dims_the_light_and_not_the_idle_current() -> None:
    assert pixels.strip_current_a(100, "#ffffff", 12, 1.0, 0) == 0.1


def test_colour_in_capitals_is_the_same() -> None:
    assert pixels.light("#FF8800") == pixels.light("#ff8800")


def test_a_strip_of_nothing_draws_nothing() -> None:
    assert pixels.strip_current_a(0, "#ffffff", 20, 1) == 0
    assert pixels.count(0, 144) == 0
    assert pixels.refresh_time_s(0) == pixels.RESET_NEWER_S


def test_count_never_rounds_up() -> None:
    random = Random(6)
    for _ in range(CASES):
        length = random.uniform(0, 2)
        assert pixels.count(length, 144) <= length * 144 * (1 + 1e-9)
