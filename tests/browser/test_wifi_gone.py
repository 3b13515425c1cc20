"""Wi-Fi gone at the bench: what is done meanwhile waits in the browser, and is sent once."""

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, suppress
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.tablets import JORY, ODA, Tablet, count, id_of
from tests.browser.test_axe import ALL, AXE, COLOURS, grave_faults
from tests.browser.wire import wire_to
from tests.machine.conftest import Shop, running

pytestmark = [pytest.mark.browser, pytest.mark.server, pytest.mark.once]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A demo shop of these tests' own."""
    with running(tmp_path_factory.mktemp("wifi"), "shop", "--demo") as started:
        yield started


@pytest.fixture
def tablet(browser: Browser, shop: Shop) -> Iterator[Callable[[str], Tablet]]:
    """Hands out tablets, each with a way of its own, somebody signed in."""
    with ExitStack() as stack:

        def handed(email: str) -> Tablet:
            context = stack.enter_context(closing(browser.new_context(reduced_motion="reduce")))
            wire = stack.enter_context(wire_to(shop.port))
            made = Tablet(context, context.new_page(), wire, shop.said)
            made.go("/sign-in/")
            made.sign_in(email)
            return made

        yield handed


def faults(page: Page) -> list[str]:
    """What axe finds grave, at a phone's width and a desk's, light and dark."""
    page.evaluate(AXE)
    found = []
    for width in (360, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        for scheme, options in (("light", ALL), ("dark", COLOURS)):
            page.emulate_media(color_scheme=scheme)
            found += [f"{width}, {scheme}: {each}" for each in grave_faults(page, options)]
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            found.append(f"{width}: too wide")
    return found


def test_photos_and_a_move_wait_through_a_closed_tab_and_are_sent_once(
    tablet: Callable[[str], Tablet], shop: Shop, pictures: list[Path]
) -> None:
    oda = tablet(ODA)
    first, second = id_of(shop, 34), id_of(shop, 32)
    photos, moves = (
        count(shop, "builds_photo", build_id=second),
        count(shop, "builds_move", build_id=first),
    )
    oda.go("/build/32/")
    views = oda.page.locator(".slot[data-view]").all_inner_texts()
    oda.context.set_offline(True)
    oda.page.set_input_files("#camera", pictures[:2])
    expect(oda.page.locator(".photo.waits")).to_have_count(2)
    expect(oda.page.locator(".photo.waits").first).to_contain_text("waiting to be sent")
    expect(oda.page.locator("#take")).to_contain_text(views[2])  # the next view is asked for
    oda.says("2 waiting – the shop does not answer")
    oda.context.route("**/health/live", lambda route: route.abort())  # not well yet
    oda.context.set_offline(False)
    oda.go("/bench/")
    oda.tap("/build/34/move/")
    expect(oda.page.locator("#row-34")).to_contain_text("waiting to be sent")
    oda.page.close()  # the tab goes, the list stays
    oda.page = oda.context.new_page()
    oda.go("/bench/")
    oda.says("3 waiting – the shop does not answer")
    expect(oda.page.locator("#row-34")).to_contain_text("waiting to be sent")
    oda.unfold()
    expect(oda.page.locator("#waiting-list li")).to_have_count(3)
    expect(oda.page.locator("#waiting-list")).to_contain_text(f"photo, {views[0]}")
    expect(oda.page.locator("#waiting-list")).to_contain_text("0034 Quarry Jack: To teardown")
    oda.context.unroute("**/health/live")
    oda.page.get_by_role("button", name="Send now").click()
    oda.says("3 sent")
    expect(oda.page.locator("#row-34")).to_contain_text(
        "Start teardown"
    )  # the page read itself anew
    assert count(shop, "builds_photo", build_id=second) == photos + 2
    assert count(shop, "builds_move", build_id=first) == moves + 1
    oda.go("/build/32/")
    expect(oda.page.locator(".slot[data-view]")).to_have_count(len(views) - 2)


def test_deed_whose_answer_was_lost_is_not_done_twice(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 31)
    moves = count(shop, "builds_move", build_id=build)
    oda.go("/bench/")
    oda.wire.is_deaf = True
    oda.tap("/build/31/move/")
    expect(oda.page.locator("#row-31")).to_contain_text("waiting to be sent")
    assert oda.wire.lost_answers
    assert count(shop, "builds_move", build_id=build) == moves + 1  # it was done, and nobody knows
    oda.wire.is_deaf = False
    oda.says("1 sent")
    expect(oda.page.locator("#row-31")).to_contain_text("still wanted, same options?")
    assert count(shop, "builds_move", build_id=build) == moves + 1


def test_photo_whose_answer_was_lost_is_there_once(
    tablet: Callable[[str], Tablet], shop: Shop, pictures: list[Path]
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 16)
    photos = count(shop, "builds_photo", build_id=build)
    oda.go("/build/16/")
    oda.wire.is_deaf = True
    oda.page.set_input_files("#camera", pictures[6:7])
    oda.says("1 waiting")
    assert count(shop, "builds_photo", build_id=build) == photos + 1
    oda.wire.is_deaf = False
    oda.says("1 sent")
    assert count(shop, "builds_photo", build_id=build) == photos + 1


def test_deed_without_a_token_goes_by_its_key(tablet: Callable[[str], Tablet], shop: Shop) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 31)
    checks = count(shop, "builds_cellcheck", build_id=build)
    oda.go("/build/31/")
    cell = oda.page.locator("#cell")
    cell.locator("details > summary").last.click()
    cell.locator("[name=result][value=good]").check()
    cell.locator("[name=volts]").fill("3.71")
    oda.wire.is_deaf = True
    cell.get_by_role("button", name="Keep the check").click()
    expect(cell).to_contain_text("waiting to be sent")
    assert count(shop, "builds_cellcheck", build_id=build) == checks + 1
    oda.wire.is_deaf = False
    oda.says("1 sent")
    expect(cell).to_contain_text("3.71")
    assert count(shop, "builds_cellcheck", build_id=build) == checks + 1


def test_what_another_tablet_did_meanwhile_is_told(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda, jory = tablet(ODA), tablet(JORY)
    build = id_of(shop, 17)
    moves = count(shop, "builds_move", build_id=build)
    oda.go("/bench/")
    oda.context.set_offline(True)
    oda.tap("/build/17/move/")
    oda.tap("/build/17/timed/")
    oda.says("2 waiting")
    jory.go("/bench/")
    jory.tap("/build/17/move/")
    expect(jory.page.locator("#said")).to_contain_text("is in dispatch")
    oda.context.set_offline(False)
    oda.says("2 not done")
    # The page below tells where the build stands by now, and offers no move that is over.
    dispatch = oda.page.locator(".band", has=oda.page.get_by_role("heading", name="Dispatch"))
    expect(dispatch.locator("#row-17")).to_be_visible()
    oda.unfold()
    rows = oda.page.locator("#waiting-list li")
    expect(rows.nth(0)).to_contain_text("Jory Pell moved")
    expect(rows.nth(0).get_by_role("link", name="Open the build")).to_have_attribute(
        "href", "/build/17/"
    )
    expect(rows.nth(1)).to_contain_text("The one before it on this build was not done")
    assert faults(oda.page) == []
    assert count(shop, "builds_move", build_id=build) == moves + 1
    rows.nth(0).get_by_role("button", name="Throw away").click()
    expect(rows.nth(0)).to_contain_text("It is nowhere else")
    rows.nth(0).get_by_role("button", name="Throw it away").click()
    expect(rows).to_have_count(1)
    rows.nth(0).get_by_role("button", name="Send it all the same").click()
    # The timer was meant for test; it is the shop that says so now.
    oda.says("1 not done")


def test_two_tabs_send_it_once_and_both_read_themselves_anew(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 26)
    stretches = count(shop, "builds_stretch", build_id=build)
    other = oda.context.new_page()
    other.goto(oda.wire.base + "/bench/")
    oda.go("/bench/")
    oda.context.set_offline(True)
    oda.tap("/build/26/timed/")
    for page in (oda.page, other):
        expect(page.locator("#row-26")).to_contain_text("waiting to be sent")
    oda.context.set_offline(False)
    for page in (oda.page, other):
        expect(page.locator("#row-26")).to_contain_text("Stop my timer")
        expect(page.locator("[data-head]")).not_to_contain_text("waiting")
    assert count(shop, "builds_stretch", build_id=build) == stretches + 1


def test_deeds_stay_their_owners_when_another_takes_the_tablet(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 30)
    stretches = count(shop, "builds_stretch", build_id=build)
    oda.go("/bench/")
    oda.context.set_offline(True)
    oda.tap("/build/30/timed/")
    oda.says("1 waiting")
    oda.context.route("**/health/live", lambda route: route.abort())
    oda.context.set_offline(False)
    oda.page.get_by_role("button", name="Sign out").click()
    oda.says("1 waiting – sign in to send")
    oda.context.unroute("**/health/live")
    oda.sign_in(JORY)
    oda.go("/bench/")
    oda.says("1 waiting of Oda Marsh")
    oda.unfold()
    expect(oda.page.get_by_role("button", name="Throw away")).to_have_count(0)
    expect(oda.page.locator("#waiting-list")).to_contain_text("when Oda Marsh is at this tablet")
    assert count(shop, "builds_stretch", build_id=build) == stretches
    oda.page.get_by_role("button", name="Sign out").click()
    oda.sign_in(ODA)
    oda.says("1 sent")
    assert count(shop, "builds_stretch", build_id=build) == stretches + 1


def test_what_somebody_left_for_good_is_thrown_away_by_whoever_is_there(
    tablet: Callable[[str], Tablet],
) -> None:
    jory = tablet(JORY)
    jory.go("/bench/")
    left = """(days) => hiltyard.list.add({
      key: "", who: 1, whose: "Oda Marsh", at: Date.now() - days * 86400000, state: "waits",
      why: "", url: location.href, kind: "alone", mark: "", about: "", name: "",
      page: "", fields: [], what: "Start my timer", typed: [],
    })"""
    for days in (29, 31):
        jory.page.evaluate(left, days)
    jory.says("2 waiting of Oda Marsh")
    jory.unfold()
    jory.page.get_by_role("button", name="Throw away").click()  # there is one
    jory.page.get_by_role("button", name="Throw it away").click()
    jory.says("1 waiting of Oda Marsh")
    expect(jory.page.locator("#waiting-list")).to_contain_text("when Oda Marsh is at this tablet")


def test_session_that_ended_meanwhile_asks_to_sign_in(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 20)
    notes = count(shop, "builds_conditionnote", build_id=build)
    oda.go("/build/20/")
    oda.context.set_offline(True)
    condition = oda.page.locator("#condition")
    if not condition.locator("[name=section]").is_visible():
        condition.get_by_text("Another section", exact=True).click()
    condition.locator("[name=section]").fill("pommel")
    condition.locator("[name=grade][value=worn]").check()
    condition.locator("[name=words]").fill("a dent beside the thread")
    condition.get_by_role("button", name="Keep the note").click()
    oda.says("1 waiting – the shop does not answer")
    expect(condition.locator("[name=words]")).to_have_value("")  # free for the next one
    _end_session(oda)
    oda.context.set_offline(False)
    oda.says("1 waiting – sign in to send")
    assert count(shop, "builds_conditionnote", build_id=build) == notes
    oda.page.get_by_role("link", name="Sign in").click()
    oda.sign_in(ODA)
    oda.says("1 sent")
    assert count(shop, "builds_conditionnote", build_id=build) == notes + 1


@pytest.mark.parametrize("page", ["/build/23/", "/bench/"])  # a plain form; one sent by htmx
def test_session_that_ended_before_the_tap_loses_nothing(
    tablet: Callable[[str], Tablet], shop: Shop, page: str
) -> None:
    jory = tablet(JORY)
    build = id_of(shop, 23)
    stretches = count(shop, "builds_stretch", build_id=build)
    jory.go(page)
    _end_session(jory)
    if page == "/bench/":
        jory.tap("/build/23/timed/")
    else:
        timed = jory.page.locator("form[action='/build/23/timed/add/']")
        jory.page.locator("details", has=timed).locator("summary").click()
        timed.locator("[name=minutes]").fill("8")
        timed.get_by_role("button").click()
    jory.says("1 waiting – sign in to send")
    jory.page.get_by_role("link", name="Sign in").click()
    jory.sign_in(JORY)
    jory.says("1 sent")
    assert count(shop, "builds_stretch", build_id=build) == stretches + 1


def _end_session(tablet: Tablet) -> None:
    cookies = [each for each in tablet.context.cookies() if each["name"] != "sessionid"]
    tablet.context.clear_cookies()
    tablet.context.add_cookies(cookies)


def test_photos_outlast_the_session(
    tablet: Callable[[str], Tablet], shop: Shop, pictures: list[Path]
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 20)
    photos = count(shop, "builds_photo", build_id=build)
    oda.go("/build/20/")
    oda.context.set_offline(True)
    oda.page.set_input_files("#camera", pictures[4:6])
    oda.says("2 waiting – the shop does not answer")

    # The session ends after the shop has said who is there: the photos themselves find nobody.
    def ended(route: Route) -> None:
        answer = route.fetch()
        _end_session(oda)
        route.fulfill(response=answer)

    oda.context.route("**/later/who/", ended)
    oda.context.set_offline(False)
    oda.says("2 waiting – sign in to send")
    assert count(shop, "builds_photo", build_id=build) == photos
    oda.context.unroute("**/later/who/")
    oda.page.get_by_role("link", name="Sign in").click()
    oda.sign_in(ODA)
    oda.says("2 sent")
    assert count(shop, "builds_photo", build_id=build) == photos + 2


def test_page_that_the_wifi_puts_in_place_of_the_answer_takes_nothing(
    tablet: Callable[[str], Tablet], shop: Shop, pictures: list[Path]
) -> None:
    jory = tablet(JORY)
    build = id_of(shop, 29)
    kept = [count(shop, table, build_id=build) for table in ("builds_photo", "builds_stretch")]

    def waits_then_goes() -> None:
        jory.says("1 waiting – the shop does not answer")
        jory.context.unroute("**/*", _sign_in_of_the_wifi)
        jory.says("1 sent")

    jory.context.route("**/*", _sign_in_of_the_wifi)
    jory.go("/build/29/")
    jory.page.set_input_files("#camera", pictures[7:8])  # sent one by one
    waits_then_goes()
    jory.go("/bench/")
    jory.context.route("**/*", _sign_in_of_the_wifi)
    jory.tap("/build/29/timed/")  # sent by htmx
    expect(jory.page.locator("#row-29")).to_contain_text("waiting to be sent")
    waits_then_goes()
    jory.go("/build/29/")
    jory.context.route("**/*", _sign_in_of_the_wifi)
    timed = jory.page.locator("form[action='/build/29/timed/add/']")
    jory.page.locator("details", has=timed).locator("summary").click()
    timed.locator("[name=minutes]").fill("9")
    timed.get_by_role("button").click()  # a plain form
    waits_then_goes()
    now = [count(shop, table, build_id=build) for table in ("builds_photo", "builds_stretch")]
    assert now == [kept[0] + 1, kept[1] + 2]


def test_photo_that_stalls_on_its_way_does_not_hold_up_the_list(
    tablet: Callable[[str], Tablet], shop: Shop, pictures: list[Path], tmp_path: Path
) -> None:
    oda = tablet(ODA)
    build = id_of(shop, 16)
    photos = count(shop, "builds_photo", build_id=build)
    large = tmp_path / "large.jpg"
    large.write_bytes(pictures[4].read_bytes() + bytes(4_000_000))
    oda.page.clock.install()
    oda.go("/build/16/")
    oda.context.set_offline(True)
    oda.page.set_input_files("#camera", large)
    oda.says("1 waiting")
    oda.context.route("**/photos/", lambda _route: None)  # taken, and never answered
    oda.context.set_offline(False)
    oda.says("Sending 1 of 1")
    oda.page.clock.fast_forward(31_000)
    oda.says("1 waiting – the shop does not answer")
    oda.context.unroute("**/photos/")
    oda.page.evaluate("dispatchEvent(new Event('online'))")
    oda.says("1 sent")
    assert count(shop, "builds_photo", build_id=build) == photos + 1


def test_tapped_twice_without_a_connection_waits_once(
    tablet: Callable[[str], Tablet], shop: Shop
) -> None:
    oda = tablet(ODA)
    oda.go("/build/29/")
    cell = oda.page.locator("#cell")
    cell.locator("details > summary").last.click()
    cell.locator("[name=result][value=good]").check()
    cell.locator("[name=volts]").fill("3.68")
    oda.context.set_offline(True)
    twice = "(button) => { button.click(); button.click(); }"
    cell.get_by_role("button", name="Keep the check").evaluate(twice)
    oda.says("1 waiting")
    assert oda.page.evaluate("hiltyard.list.all().then((all) => all.length)") == 1
    oda.context.set_offline(False)
    oda.says("1 sent")


def _sign_in_of_the_wifi(route: Route) -> None:
    if route.request.method == "GET":
        return route.fallback()
    page = "<!doctype html><title>Guests</title><main id=main>Accept the terms first.</main>"
    return route.fulfill(status=200, content_type="text/html", body=page)


def test_shop_that_was_killed_gets_it_once_it_stands_again(
    browser: Browser, shop: Shop, pictures: list[Path]
) -> None:
    folder = shop.data.parent
    with closing(browser.new_context()) as context, wire_to(shop.port) as wire:
        oda = Tablet(context, context.new_page(), wire, shop.said)
        oda.go("/sign-in/")
        oda.sign_in(ODA)
        build = id_of(shop, 23)
        photos = count(shop, "builds_photo", build_id=build)
        oda.go("/build/23/")
        for pid in shop.children():
            _kill(pid)
        shop.process.send_signal(signal.SIGKILL)
        shop.process.wait()
        oda.page.set_input_files("#camera", pictures[3:5])
        oda.says("2 waiting – the shop does not answer")
        with running(folder, "shop") as again:
            wire.shop_port = again.port
            oda.page.evaluate("dispatchEvent(new Event('online'))")  # it may rest just now
            oda.says("2 sent")
            assert count(again, "builds_photo", build_id=build) == photos + 2


def _kill(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)
