"""A part comes late: three promises fall into danger, and a Saturday is tried and kept."""

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import sign_in
from tests.machine.conftest import REPOSITORY, Shop, clean_environment, running

pytestmark = [pytest.mark.browser, pytest.mark.server]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A demo shop of its own: what else was open has left the bench."""
    with running(tmp_path_factory.mktemp("dates"), "shop", "--demo") as found:
        yield found


@pytest.fixture(scope="module")
def saturday(shop: Shop) -> str:
    """The Saturday between the late part and the promises."""
    made = "from tests.browser.dates_shop import fill; fill()"
    command = [sys.executable, "manage.py", "shell", "-v", "0", "-c", made]
    env = clean_environment(HILTYARD_DATA=str(shop.data))
    done = subprocess.run(command, cwd=REPOSITORY, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip().splitlines()[-1]


@pytest.fixture
def oda(browser: Browser, shop: Shop, saturday: str) -> Iterator[Page]:
    """The owner, in front of the dates."""
    with closing(browser.new_context()) as context:
        page = sign_in(context, shop, "oda@larkhill.example")
        page.goto(f"http://127.0.0.1:{shop.port}/dates/")
        yield page


def in_danger(page: Page) -> list[int]:
    """The odds of the promises in danger, as Today says them."""
    page.goto(re.sub(r"/dates/.*$", "/", page.url))
    said = page.locator("main").inner_text().replace("\xa0", " ")
    return [int(odds) for odds in re.findall(r"(\d+) % for", said)]


def test_saturday_helps_three_promises_that_a_late_part_endangers(oda: Page, saturday: str) -> None:
    expect(oda.locator("main")).to_contain_text("No promise is in danger")
    oda.get_by_role("link", name="What if").click()
    late = oda.locator("form", has=oda.get_by_label("Days late"))
    late.get_by_label("Days late").fill("10")
    late.get_by_role("button", name="See what it does").click()
    expect(oda.locator(".gate-word")).to_contain_text("3 builds get later or less likely")
    expect(oda.locator(".compared .stop", has_text="now in danger")).to_have_count(3)
    oda.get_by_role("button", name="Keep it").click()
    expect(oda.locator("#said")).to_contain_text("Kept: it is expected on")
    expect(oda.get_by_role("heading", name="3 promises in danger")).to_be_visible()
    before = in_danger(oda)
    assert len(before) == 3

    oda.go_back()
    oda.get_by_role("link", name="What if").click()
    extra = oda.locator("form", has=oda.get_by_label("Who"))
    extra.get_by_label("Day", exact=True).fill(saturday)
    extra.get_by_role("button", name="See what it does").click()
    expect(oda.locator(".gate-word")).to_contain_text("sooner or more likely")
    oda.get_by_role("button", name="Keep it").click()
    expect(oda.locator("#said")).to_contain_text("Kept: Oda Marsh works on Saturday")
    after = in_danger(oda)
    assert len(after) <= len(before)
    assert sum(after) > sum(before) or len(after) < len(before)


def test_on_a_telephone_the_rule_and_the_rows_share_one_scale(oda: Page) -> None:
    oda.set_viewport_size({"width": 360, "height": 800})
    rule = oda.locator(".dates-rule").bounding_box()
    rows = [row.bounding_box() for row in oda.locator(".date-row > .date-span").all()]
    assert rule
    assert rows
    for row in rows:
        assert row
        assert (row["x"], row["width"]) == pytest.approx((rule["x"], rule["width"]), abs=1)
