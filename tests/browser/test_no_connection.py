"""Under HTTPS the bench's pages open without a connection, for whoever saw them last alone."""

import re
import ssl
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from playwright.sync_api import Browser, expect

from tests.browser.tablets import JORY, ODA, Tablet, count, id_of
from tests.browser.wire import wire_to
from tests.machine.conftest import Shop, running

pytestmark = [pytest.mark.browser, pytest.mark.server, pytest.mark.once]


@pytest.fixture(scope="module")
def browser_flags(browser_flags: list[str]) -> list[str]:
    """Also trusts the certificate of these tests, for the worker's script too."""
    return [*browser_flags, "--ignore-certificate-errors"]


@pytest.fixture(scope="module")
def tls(tmp_path_factory: pytest.TempPathFactory) -> ssl.SSLContext:
    """A certificate that the test signs itself, as a shop's own proxy might."""
    folder = tmp_path_factory.mktemp("tls")
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "127.0.0.1")])
    now = datetime.now(UTC)
    made = x509.CertificateBuilder().subject_name(name).issuer_name(name)
    made = made.public_key(key.public_key()).serial_number(x509.random_serial_number())
    made = made.not_valid_before(now - timedelta(days=1)).not_valid_after(now + timedelta(days=1))
    names = x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))])
    signed = made.add_extension(names, critical=False).sign(key, hashes.SHA256())
    path: Path = folder / "both.pem"
    path.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        + signed.public_bytes(serialization.Encoding.PEM)
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(path)
    return context


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A demo shop that stands behind a proxy with HTTPS."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HTTPS", "1")
        with running(tmp_path_factory.mktemp("https"), "shop", "--demo") as started:
            yield started


@pytest.fixture
def oda(browser: Browser, shop: Shop, tls: ssl.SSLContext) -> Iterator[Tablet]:
    """The owner's tablet, signed in."""
    with (
        closing(browser.new_context(ignore_https_errors=True)) as context,
        wire_to(shop.port, tls) as wire,
    ):
        made = Tablet(context, context.new_page(), wire, shop.said)
        made.go("/sign-in/")
        made.sign_in(ODA)
        yield made


def look(tablet: Tablet, path: str) -> None:
    """Open a page and stay until its copy is kept."""
    tablet.go(path)
    expect(tablet.page.locator("html[data-kept]")).to_be_attached()


def test_pages_seen_last_open_without_a_connection(oda: Tablet, shop: Shop) -> None:
    for path in ("/", "/bench/", "/build/34/", "/dispatch/"):
        look(oda, path)
    oda.wire.cut()
    oda.go("/bench/")
    oda.says("As of")
    oda.says("no connection")
    expect(oda.page.locator("#row-34")).to_contain_text("Quarry Jack")
    build = id_of(shop, 34)
    moves = count(shop, "builds_move", build_id=build)
    oda.tap("/build/34/move/")
    expect(oda.page.locator("#row-34")).to_contain_text("waiting to be sent")
    oda.page.reload()
    expect(oda.page.locator("#row-34")).to_contain_text("waiting to be sent")
    for path, words in (
        ("/", "build"),
        ("/build/34/", "Quarry Jack"),
        ("/dispatch/", "Packed"),
    ):
        oda.go(path)
        oda.says("As of")
        expect(oda.page.locator("main")).to_contain_text(words)
    oda.wire.mend()
    expect(oda.page.locator("html[data-kept-at]")).to_have_count(0)  # gave way to the page itself
    oda.go("/bench/")
    expect(oda.page.locator("#row-34")).to_contain_text("Start teardown")
    assert count(shop, "builds_move", build_id=build) == moves + 1


def test_other_pages_are_never_kept(oda: Tablet) -> None:
    look(oda, "/bench/")
    for path in ("/settings/", "/orders/", "/messages/", "/stores/"):
        oda.go(path)
    oda.wire.cut()
    for path in ("/settings/", "/orders/", "/messages/"):
        oda.go(path)
        expect(oda.page.locator("h1")).to_have_text("The shop does not answer")
    expect(oda.page.get_by_role("link", name="Bench")).to_be_visible()  # what is kept is offered
    held = oda.page.evaluate(
        """async () => {
          const found = {};
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const key of await cache.keys()) {
              const path = new URL(key.url).pathname;
              if (!path.startsWith("/static/")) found[path] = await (await cache.match(key)).text();
            }
          }
          return found;
        }"""
    )
    assert {"/bench/", "/no-connection/"} <= held.keys() <= {"/", "/bench/", "/no-connection/"}
    assert "X-CSRFToken" not in held["/bench/"]
    assert not re.findall(r'name="csrfmiddlewaretoken" value="[^"]', held["/bench/"])


def test_copies_go_with_the_person(oda: Tablet) -> None:
    look(oda, "/build/34/")
    kept = "async () => (await caches.keys()).filter((name) => name.includes('kept')).length"
    assert oda.page.evaluate(kept) == 1
    oda.page.get_by_role("button", name="Sign out").click()
    expect(oda.page.locator("h1")).to_have_text("Sign in")
    assert oda.page.evaluate(kept) == 0
    oda.sign_in(JORY)
    look(oda, "/bench/")
    oda.wire.cut()
    oda.go("/build/34/")
    expect(oda.page.locator("h1")).to_have_text("The shop does not answer")


@pytest.mark.parametrize("by", ["a copy", "the page itself"])
def test_signing_out_without_a_connection_leaves_nothing(oda: Tablet, by: str) -> None:
    look(oda, "/bench/")
    oda.wire.cut()
    if by == "a copy":
        oda.go("/bench/")
        oda.says("As of")
    oda.page.get_by_role("button", name="Sign out").click()
    expect(oda.page.locator("h1")).to_have_text("The shop does not answer")
    expect(oda.page.locator("[data-still-in]")).to_contain_text("You are still signed in here")
    oda.wire.mend()
    oda.go("/bench/")  # whoever was still signed in is signed out now
    expect(oda.page.locator("h1")).to_have_text("Sign in")
    oda.sign_in(ODA)
    oda.go("/bench/")
    expect(oda.page.locator("#row-34")).to_be_visible()


@pytest.mark.parametrize("age", [90_000_000, -90_000_000])  # the clock was set back since
def test_copy_that_is_older_than_a_day_goes(oda: Tablet, age: int) -> None:
    look(oda, "/bench/")
    held = """async (age) => {
      for (const name of await caches.keys()) if (name.startsWith("hiltyard-kept-")) {
        const cache = await caches.open(name);
        const headers = { "X-Kept-At": String(Date.now() - age) };
        if (age) await cache.put("/build/16/", new Response("old", { headers }));
        return Boolean(await cache.match("/build/16/"));
      }
    }"""
    assert oda.page.evaluate(held, age)
    oda.go("/settings/")  # of which no copy is made
    oda.page.wait_for_function(f"async () => !(await ({held})(0))")


def test_what_cannot_wait_says_so_on_a_copy(oda: Tablet) -> None:
    look(oda, "/build/32/")
    oda.wire.cut()
    oda.go("/build/32/")
    oda.page.locator("#stands").get_by_role("button", name="Put it there").evaluate(
        "(button) => button.form.requestSubmit(button)"
    )
    expect(oda.page.locator("#said")).to_contain_text("this cannot wait for it")
