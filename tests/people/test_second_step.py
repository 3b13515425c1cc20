"""The second step: turned on, asked for wherever the password is asked, and lost."""

import re
from base64 import b32decode
from datetime import datetime, timedelta
from io import BytesIO, StringIO
from urllib.parse import parse_qs, urlsplit

import pytest
import segno
import zxingcpp
from django.contrib.auth.hashers import identify_hasher
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django_otp.oath import TOTP, hotp
from PIL import Image

from shop import clock
from shop.history.models import Entry
from shop.models import AppCode, RecoveryCode, Throttle, User
from shop.people import actions, factors
from shop.people.queries import reset_path

PHRASE, PIN, NONCE = "a long enough phrase", "4071", "0" * 32
SECOND, APP, DOORS = "/sign-in/second/", "/my-sign-in/app/", "/my-sign-in/"


def code_at(user: User, moment: datetime, nonce: str = NONCE) -> str:
    """What the app of somebody shows at a moment."""
    app = TOTP(factors.secret_of(user.pk, nonce))
    app.time = moment.timestamp()
    return f"{app.token():06}"


def password_given(user: User, client: Client | None = None, to: str = "/bench/") -> Client:
    client = client or Client()
    client.post("/sign-in/", {"email": user.email, "password": PHRASE, "next": to})
    return client


def is_in(client: Client) -> bool:
    return client.get(DOORS).status_code == 200


@pytest.fixture
def paper(owner: User) -> list[str]:
    """The owner's second step is on, since an hour; the codes on paper."""
    then = clock.now() - timedelta(hours=1)
    return factors.turn_on(owner, NONCE, code_at(owner, then), now=then)


def test_without_a_second_step_the_password_opens(owner: User) -> None:
    assert is_in(password_given(owner))


def test_with_one_the_password_alone_opens_nothing(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    assert not is_in(client)
    assert client.get(SECOND).status_code == 200


def test_code_of_the_app_opens_and_leads_on(owner: User, paper: list[str]) -> None:
    client = password_given(owner, to="/bench/?x=1")
    answer = client.post(SECOND, {"code": code_at(owner, clock.now())})
    assert (answer.status_code, answer.url) == (303, "/bench/?x=1")
    assert is_in(client)


@pytest.mark.parametrize(
    ("steps", "opens"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)]
)
def test_clock_may_be_one_step_off(
    owner: User, paper: list[str], steps: int, opens: bool, now: datetime
) -> None:
    now += timedelta(days=900)
    code = code_at(owner, now + timedelta(seconds=30 * steps))

    def take() -> str:
        return factors.check_code(owner, code, device="one", knows=False, now=now)

    if opens:
        assert take() == "app"
    else:
        with pytest.raises(actions.Refused):
            take()


def test_each_code_opens_once(owner: User, paper: list[str]) -> None:
    code = code_at(owner, clock.now())
    first, second = password_given(owner), password_given(owner)
    assert first.post(SECOND, {"code": code}).status_code == 303
    assert second.post(SECOND, {"code": code}).status_code == 422
    assert not is_in(second)


def test_older_code_opens_no_more_once_a_newer_one_did(
    owner: User, paper: list[str], now: datetime
) -> None:
    now += timedelta(days=900)
    older = code_at(owner, now - timedelta(seconds=30))
    factors.check_code(owner, code_at(owner, now), device="one", knows=False, now=now)
    with pytest.raises(actions.Refused):
        factors.check_code(owner, older, device="one", knows=False, now=now)


@pytest.mark.parametrize("code", ["", "000000", "12345", "1234567", "٤٠٧١٢٣", "abc-def", "x" * 300])
def test_wrong_code_is_told_beside_the_field(owner: User, paper: list[str], code: str) -> None:
    client = password_given(owner)
    assert client.post(SECOND, {"code": code}).status_code == 422
    assert not is_in(client)


def test_code_on_paper_opens_once(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    answer = client.post(SECOND, {"code": paper[3].upper().replace("-", " ")}, follow=True)
    assert "on paper" not in answer.text
    again = password_given(owner)
    assert again.post(SECOND, {"code": paper[3]}).status_code == 422
    assert Entry.objects.filter(verb="recovery_code_used").count() == 1


def test_last_three_codes_on_paper_ask_for_a_new_set(owner: User, paper: list[str]) -> None:
    left = [
        re.findall(r"\d codes? on paper (?:is|are) left", used.text)
        for code in paper
        for used in [password_given(owner).post(SECOND, {"code": code}, follow=True)]
    ]
    assert left[:6] == [[]] * 6
    assert left[6:] == [
        ["3 codes on paper are left"], ["2 codes on paper are left"],
        ["1 code on paper is left"], ["0 codes on paper are left"],
    ]  # fmt: skip


def test_codes_on_paper_are_ten_and_hashed_like_passwords(owner: User, paper: list[str]) -> None:
    assert len(set(paper)) == 10
    kept = [each.code for each in RecoveryCode.objects.all()]
    assert len(kept) == 10
    assert identify_hasher(kept[0])
    assert not [code for code in paper if code.replace("-", "") in "".join(kept)]


def test_new_set_replaces_the_old_one(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    client.post(SECOND, {"code": paper[0]})
    page = client.post("/my-sign-in/paper/").text
    fresh = re.findall(r'<li class="num">([\w-]+)</li>', page)
    assert len(set(fresh) - set(paper)) == 10
    with pytest.raises(actions.Refused):
        factors.check_code(owner, paper[5], device="one", knows=False, now=clock.now())
    kind = factors.check_code(owner, fresh[5], device="one", knows=False, now=clock.now())
    assert kind == "paper"


def test_codes_on_paper_are_shown_once(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    client.post(SECOND, {"code": paper[0]})
    client.post("/my-sign-in/paper/")
    for address in ("/my-sign-in/paper/", DOORS):
        assert 'class="num"' not in client.get(address).text


def test_tries_are_few_and_refused_even_when_right(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    for wrong in range(factors.TRIES):
        client.post(SECOND, {"code": f"00000{wrong}"})
    answer = client.post(SECOND, {"code": paper[0]})
    assert "Too many tries" in answer.text
    assert not is_in(client)


def test_somebody_who_saw_the_password_cannot_shut_the_owner_out(
    owner: User, paper: list[str], now: datetime
) -> None:
    for number in range(factors.TRIES_A_DAY + 5):
        with pytest.raises(actions.Refused):
            factors.check_code(owner, "000000", device=f"{number}", knows=False, now=now)
    with pytest.raises(actions.Refused, match="Too many"):
        factors.check_code(owner, paper[0], device="new", knows=False, now=now)
    assert factors.check_code(owner, paper[0], device="my own", knows=True, now=now) == "paper"


def test_nobody_comes_to_the_second_step_without_the_password(stranger: Client) -> None:
    assert stranger.get(SECOND).url == "/sign-in/"
    assert stranger.post(SECOND, {"code": "123456"}).url == "/sign-in/"
    assert stranger.post(f"{SECOND}passkey/", {"said": "{}"}).url == "/sign-in/"


def test_waiting_has_an_end(owner: User, paper: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    client, begun = password_given(owner), clock.now()
    monkeypatch.setattr(clock, "now", lambda: begun + timedelta(minutes=11))
    assert client.get(SECOND).url == "/sign-in/"


def test_password_changed_meanwhile_ends_the_waiting(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    actions.set_password(owner, "seven brass screws", by=owner, now=clock.now())
    assert client.post(SECOND, {"code": paper[0]}).url == "/sign-in/"


def test_who_left_meanwhile_does_not_come_in(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    User.objects.update(is_active=False)
    assert client.post(SECOND, {"code": paper[0]}).url == "/sign-in/"


def test_link_for_a_new_password_asks_for_it_too(owner: User, paper: list[str]) -> None:
    client, phrase = Client(), "seven brass screws"
    answer = client.post(reset_path(owner), {"password": phrase, "again": phrase})
    assert answer.url == SECOND
    assert not is_in(client)


def test_password_after_a_pin_asks_for_it_too(
    owner: User, bench_hand: User, paper: list[str]
) -> None:
    actions.set_pin(owner, PIN, by=owner, now=clock.now())
    tablet = password_given(bench_hand)
    tablet.post("/who/", {"person": owner.pk, "pin": PIN})
    assert tablet.get("/bench/").status_code == 200
    answer = tablet.post("/confirm/", {"password": PHRASE, "next": "/settings/people/"})
    assert answer.url == SECOND
    assert tablet.get("/settings/people/").status_code == 303
    assert tablet.post(SECOND, {"code": paper[0]}).url == "/settings/people/"
    assert tablet.get("/settings/people/").status_code == 200


def test_one_waits_for_nobody_else(owner: User, bench_hand: User, paper: list[str]) -> None:
    client = password_given(owner)
    client.force_login(bench_hand)
    assert client.post(SECOND, {"code": paper[0]}).url == "/sign-in/"


def test_setting_up_reads_off_the_screen_what_an_app_needs(owner: User) -> None:
    client = password_given(owner)
    page = client.get(APP)
    address = page.context["address"]
    told = urlsplit(address)
    assert (told.scheme, told.netloc) == ("otpauth", "totp")
    assert "Larkhill%20Works%3Aoda%40larkhill.example" in told.path
    secret = parse_qs(told.query)["secret"][0]
    assert re.sub(" ", "", page.context["secret"]) == secret
    code = client_code(secret)
    answer = client.post(APP, {"code": code})
    assert "not shown again" in answer.text
    assert AppCode.objects.get().person == owner
    assert password_given(owner).get("/bench/").status_code == 302


def client_code(secret: str) -> str:
    """What an app makes of the secret by RFC 6238, without our own code."""
    return f"{hotp(b32decode(secret), int(clock.now().timestamp()) // 30):06}"


def test_qr_code_can_be_read(owner: User) -> None:
    address = password_given(owner).get(APP).context["address"]
    buffer = BytesIO()
    segno.make(address, error="m", micro=False).save(buffer, kind="png", scale=4, border=2)
    (found,) = zxingcpp.read_barcodes(Image.open(buffer))
    assert found.text == address


def test_wrong_first_code_turns_nothing_on(owner: User) -> None:
    client = password_given(owner)
    first = client.get(APP).context["secret"]
    answer = client.post(APP, {"code": "000000"})
    assert answer.status_code == 422
    assert answer.context["secret"] == first
    assert not AppCode.objects.exists()


def test_database_alone_holds_no_secret(owner: User, paper: list[str]) -> None:
    kept = AppCode.objects.get()
    secret = factors.secret_of(owner.pk, NONCE)
    assert factors.in_base32(secret) not in str(vars(kept))
    assert secret.hex() not in str(vars(kept))


def test_two_people_never_share_a_secret(owner: User, bench_hand: User) -> None:
    assert factors.secret_of(owner.pk, NONCE) != factors.secret_of(bench_hand.pk, NONCE)


@pytest.mark.parametrize("address", [APP, "/my-sign-in/paper/", "/my-sign-in/passkey/"])
def test_changing_it_wants_the_password_anew(
    owner: User, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    client, begun = password_given(owner), clock.now()
    monkeypatch.setattr(clock, "now", lambda: begun + timedelta(minutes=16))
    assert client.get(address).url.startswith("/confirm/?next=")
    client.post("/confirm/", {"password": PHRASE})
    assert not client.get(address).headers.get("Location", "").startswith("/confirm/")


def test_pin_never_changes_it(owner: User, bench_hand: User, paper: list[str]) -> None:
    actions.set_pin(owner, PIN, by=owner, now=clock.now())
    tablet = password_given(bench_hand)
    tablet.post("/who/", {"person": owner.pk, "pin": PIN})
    tablet.post("/my-sign-in/app/off/")
    assert AppCode.objects.exists()


def test_turned_off_the_password_opens_again(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    client.post(SECOND, {"code": paper[0]})
    client.post("/my-sign-in/app/off/")
    assert is_in(password_given(owner))
    assert not RecoveryCode.objects.exists()


def test_owner_takes_a_lost_one_off_a_bench_hand(owner: User, bench_hand: User) -> None:
    factors.turn_on(bench_hand, NONCE, code_at(bench_hand, clock.now()), now=clock.now())
    password_given(owner).post(reverse("desk_person_second_step_off", args=[bench_hand.pk]))
    assert is_in(password_given(bench_hand))
    entry = Entry.objects.get(verb="second_step_taken_off")
    assert (entry.actor, entry.about) == (owner, bench_hand.about)


def test_owner_takes_none_off_an_owner(owner: User, paper: list[str]) -> None:
    with pytest.raises(actions.Refused, match="at the machine"):
        factors.take_off(owner.pk, by=owner, now=clock.now())


def test_at_the_machine_it_is_taken_off_anybody(owner: User, paper: list[str]) -> None:
    client = password_given(owner)
    for _ in range(12):
        client.post(SECOND, {"code": "000000"})
    out = StringIO()
    call_command("unlock", "ODA@larkhill.example", stdout=out)
    assert not Throttle.objects.exists()
    link = re.search(r"http://192\.0\.2\.10:8000(/\S+)", out.getvalue())
    assert link
    assert Client().get(link[1]).status_code == 200
    assert is_in(password_given(owner))


def test_command_names_who_there_is(owner: User) -> None:
    with pytest.raises(CommandError, match=re.escape(owner.email)):
        call_command("unlock", "nobody@larkhill.example")
