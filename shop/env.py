"""Tiny typed readers of the environment and of the env file in the data folder."""

import os
import secrets
import tempfile
from hashlib import sha256
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, quote, urlsplit

BASE_DIR = Path(__file__).resolve().parent.parent
LONGEST_SOCKET = 100  # the system's limit is 104 or 108 bytes, its closing zero included
CLEAR_SIGNS = "ACDEFHJKMNPQRTUVWXY34679"  # none that looks like another


def data_dir() -> Path:
    """The folder that holds everything the shop keeps: database, media, keys, logs."""
    return Path(os.environ.get("HILTYARD_DATA") or BASE_DIR / "var").resolve()


def broker_socket() -> Path:
    """Where the shop's own broker listens when there is no REDIS_URL."""
    path = data_dir() / "run" / "broker.sock"
    if len(os.fsencode(path)) <= LONGEST_SOCKET:
        return path
    mark = sha256(os.fsencode(data_dir())).hexdigest()[:12]
    return Path(tempfile.gettempdir()) / f"hiltyard-{os.getuid()}-{mark}" / "broker.sock"


def broker_url() -> str:
    """The same place as Celery wants it written."""
    return f"redis+socket://{quote(str(broker_socket()))}"


def setup_code_file() -> Path:
    """The one-time code of the first set-up; there until the shop is set up."""
    return data_dir() / "keys" / "setup_code"


def setup_code() -> str:
    """The code of the first set-up, as in ABCD-EFGH; empty when none is waited for."""
    try:
        return setup_code_file().read_text(encoding="ascii").strip()
    except FileNotFoundError:
        return ""


def make_setup_code() -> str:
    """The code of the first set-up, made and kept on first asking."""
    path = setup_code_file()
    if code := setup_code():
        return code
    signs = [secrets.choice(CLEAR_SIGNS) for _ in range(8)]
    code = "".join(signs[:4]) + "-" + "".join(signs[4:])
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(code + "\n")
    return code


def env_file() -> Path:
    """Settings typed by the owner, KEY=value a line, mode 600."""
    return data_dir() / "env"


def from_file(path: Path) -> dict[str, str]:
    """The KEY=value lines of a file; comments and blank lines are passed over."""
    if not path.exists():
        return {}
    pairs = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        key, sign, value = line.partition("=")
        if sign and not key.lstrip().startswith("#"):
            pairs[key.strip()] = value.strip().strip("\"'")
    return pairs


_typed = from_file(env_file())


def text(name: str, default: str = "") -> str:
    """A value from the environment, else from the env file, else the default."""
    return os.environ.get(name) or _typed.get(name) or default


def typed(name: str, default: str = "") -> str:
    """As ``text``, but from the env file as it is now: what the owner typed a moment ago counts."""
    return os.environ.get(name) or from_file(env_file()).get(name) or default


def write_typed(name: str, value: str) -> None:
    """Set one line of the env file, durably, leaving the other lines as they are.

    The file is readable by its owner alone from its first byte on.
    """
    path = env_file()
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    kept = [line for line in lines if line.partition("=")[0].strip() != name]
    kept += [f"{name}={value}"] if value else []
    with tempfile.NamedTemporaryFile("w", dir=path.parent, delete=False, encoding="utf-8") as new:
        new.write("".join(f"{line}\n" for line in kept))
        new.flush()
        os.fsync(new.fileno())
    os.replace(new.name, path)


def flag(name: str, default: bool = False) -> bool:
    """True for 1, true, yes, on; false for 0, false, no, off."""
    value = text(name).lower()
    if value in {"1", "true", "yes", "on"}:
        return True
    if value in {"0", "false", "no", "off"}:
        return False
    return default


def names(name: str) -> list[str]:
    """A comma-separated list."""
    return [part.strip() for part in text(name).split(",") if part.strip()]


def secret(name: str, file_name: str) -> str:
    """A secret from NAME, from the file that NAME_FILE names, or from the keys folder; else ''."""
    path = Path(text(f"{name}_FILE") or data_dir() / "keys" / file_name)
    value = text(name)
    if not value and path.exists():
        value = path.read_text(encoding="ascii").strip()
    return value


def object_store() -> dict[str, Any]:
    """What MEDIA_STORE says, as s3://bucket/folder?endpoint=https://…&region=…; empty: no store.

    Without MEDIA_KEY_ID the keys are looked for where programs of the kind look: the environment,
    the machine's own role.
    """
    parts = urlsplit(text("MEDIA_STORE"))
    if not parts.scheme:
        return {}
    told = {name: values[0] for name, values in parse_qs(parts.query).items()}
    found = {
        "bucket_name": parts.hostname,
        "location": parts.path.strip("/"),
        "endpoint_url": told.get("endpoint"),
        "region_name": told.get("region"),
        "addressing_style": told.get("addressing"),
        "access_key": text("MEDIA_KEY_ID"),
        "secret_key": secret("MEDIA_SECRET", "media_secret"),
    }
    return {name: value for name, value in found.items() if value}
