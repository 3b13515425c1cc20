"""`manage.py start`: makes the shop ready, then runs it until someone stops it."""

from django.core.management import CommandError, call_command

from shop import broker, claims, env, folder, static_files
from shop.children import say
from shop.claims import Refusal
from shop.house.queries import is_set_up
from shop.running import Running, reachable_as, url_host


def start(host: str, port: int, demo: bool) -> None:
    """Claim the folder and the address, bring the database up to date, run the shop."""
    held = claims.hold_folder()
    claims.check_address(host, port)
    folder.begin_counting()
    call_command("migrate", interactive=False, verbosity=0)
    static_files.collect()
    if demo:
        _fill(f"http://{url_host(reachable_as(host))}:{port}")
    if is_set_up():
        env.setup_code_file().unlink(missing_ok=True)
    try:
        Running(host, port, held).until_stopped()
    except broker.NoBroker as error:
        raise Refusal(str(error)) from error


def _fill(address: str) -> None:
    if is_set_up():
        say("The shop is set up already; --demo fills an empty one, so it is passed over")
        return
    try:
        call_command("demo", address=address)
    except CommandError as error:
        raise Refusal(str(error)) from error
