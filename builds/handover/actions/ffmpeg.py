"""Runs ffmpeg and ffprobe where the machine has them: one file, no network, within bounds."""

import json
import resource
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

STEP_S = 40  # for one step; the worker gives a task a little more
MOST_BYTES = 2 << 30  # of memory
HEIGHT, RATE, PART_S = 720, 30, 6
# One kind of file in, no playlists: those name other files, and addresses.
_KINDS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm"
_IN = ["-protocol_whitelist", "file", "-format_whitelist", _KINDS]
_MUTE = ["-hide_banner", "-nostdin", "-loglevel", "error", "-y"]
_BEST = 4_000_000  # bits a second that a telephone's connection bears
# Kinds of file that every browser plays, with the pictures and the sounds that it plays in them.
_ANYWHERE = {
    "video/mp4": ({"h264"}, {"aac"}),
    "video/webm": ({"vp8", "vp9"}, {"opus", "vorbis"}),
}


class Failed(Exception):
    """The program did not do it; the log has its words."""


@dataclass(frozen=True)
class Probed:
    """What a film is, by its own head."""

    seconds: float
    height: int
    has_sound: bool
    is_light: bool  # plays anywhere as it is


def is_there() -> bool:
    """Whether this machine has both programs."""
    return bool(shutil.which("ffmpeg") and shutil.which("ffprobe"))


def probe(film: Path, kind: str) -> Probed:
    """How long a film is, how high, and whether every browser plays it.

    :param kind: of file, by its first bytes; the program takes all of one family for one.

    :raises Failed: it is broken, or shows nothing.
    """
    said = json.loads(_run("ffprobe", [
        "-loglevel", "error", *_IN, "-show_entries",
        "format=duration,bit_rate:stream=codec_type,codec_name,width,height,pix_fmt",
        "-of", "json", str(film),
    ]) or "{}")  # fmt: skip
    streams = {each.get("codec_type"): each for each in reversed(said.get("streams", []))}
    seen, heard, whole = streams.get("video"), streams.get("audio"), said.get("format", {})
    if seen is None:
        raise Failed("no picture in it")
    seconds = float(whole.get("duration") or 0)
    narrow = min(int(seen.get("height") or 0), int(seen.get("width") or 0))
    light = (
        _plays_anywhere(kind, seen, heard)
        and seen.get("pix_fmt") == "yuv420p"
        and narrow <= HEIGHT
        and int(whole.get("bit_rate") or _BEST + 1) <= _BEST
    )
    return Probed(seconds, narrow, heard is not None, light)


def _plays_anywhere(kind: str, seen: dict[str, str], heard: dict[str, str] | None) -> bool:
    pictures, sounds = _ANYWHERE.get(kind, (set(), set()))
    has_sound = heard is None or heard.get("codec_name") in sounds
    return seen.get("codec_name") in pictures and has_sound


def still(film: Path, at: float, to: Path) -> None:
    """One moment of a film as a JPEG."""
    _run("ffmpeg", [*_MUTE, *_IN, "-ss", f"{at:.3f}", "-i", str(film), "-frames:v", "1",
                    "-vf", "scale='min(1600,iw)':-2", "-q:v", "3", "-f", "image2", "-update", "1",
                    str(to)])  # fmt: skip


def part(film: Path, number: int, to: Path) -> None:
    """Some seconds of a film, smaller: so many pictures a second that parts join without a gap."""
    narrow = f"trunc(min({HEIGHT},min(iw,ih))/2)*2"
    fit = f"scale=w='if(gt(iw,ih),-2,{narrow})':h='if(gt(iw,ih),{narrow},-2)'"
    _run("ffmpeg", [*_MUTE, *_IN, "-ss", str(number * PART_S), "-t", str(PART_S), "-i", str(film),
                    "-map", "0:v:0", "-an", "-sn", "-dn", "-map_metadata", "-1",
                    "-vf", f"{fit},fps={RATE},format=yuv420p",
                    "-frames:v", str(PART_S * RATE), "-c:v", "libx264", "-preset", "veryfast",
                    "-crf", "24", "-threads", "1", "-f", "mpegts", str(to)])  # fmt: skip


def join(film: Path, parts: list[Path], has_sound: bool, to: Path) -> None:
    """The parts with the film's own sound, as one file that plays while it comes."""
    listing = to.with_suffix(".list")
    listing.write_text("".join(f"file '{each.name}'\n" for each in parts))
    sound = [*_IN, "-i", str(film), "-map", "0:v:0", "-map", "1:a:0", "-c:a", "aac", "-b:a", "128k",
             "-ac", "2"] if has_sound else ["-map", "0:v:0"]  # fmt: skip
    try:
        _run("ffmpeg", [*_MUTE, "-protocol_whitelist", "file", "-f", "concat", "-safe", "0",
                        "-i", str(listing), *sound, "-c:v", "copy", "-map_metadata", "-1",
                        "-movflags", "+faststart", "-f", "mp4", str(to)])  # fmt: skip
    finally:
        listing.unlink(missing_ok=True)


def _run(program: str, arguments: list[str]) -> str:
    path = shutil.which(program)
    if path is None:
        raise Failed(f"{program} is not there")
    try:
        done = subprocess.run(  # noqa: S603 (our own words and paths)
            [path, *arguments], stdin=subprocess.DEVNULL, capture_output=True, text=True,
            errors="replace", timeout=STEP_S, check=True, preexec_fn=_bounded,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise Failed("it took too long") from error
    except subprocess.CalledProcessError as error:
        raise Failed(error.stderr[-400:]) from error
    return done.stdout


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
