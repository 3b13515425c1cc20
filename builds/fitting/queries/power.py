"""Reads what the power of builds is reckoned from: parts, figures, wires, slots, caps."""

from collections import Counter, defaultdict
from collections.abc import Iterable

from builds.fitting.loads import Chosen, Shown, Wants, Wired
from builds.fitting.models import BuildPart, WireRun
from builds.fitting.queries.listed import listed
from builds.sounds.models import Slot
from builds.sounds.queries import LIGHT, caps_of, slots_of
from shop.house.models import House
from shop.stores.queries import Figures, figures, own_figures


def wants_of(build_ids: Iterable[int], shop: House) -> dict[int, Wants]:
    """Build id → all that its power is reckoned from, in five queries for all."""
    ids = list(build_ids)
    parts, wires = _parts(ids), _wires(ids)
    slots, caps = slots_of(ids), caps_of(ids)
    return {
        pk: Wants(
            parts=tuple(parts.get(pk, ())),
            wires=tuple(wires.get(pk, ())),
            slots=tuple(_shown(slot) for slot in slots.get(pk, ())),
            cap=caps.get(pk, 100) / 100,
            is_cap_set=pk in caps,
            least_idle_days=float(shop.least_idle_days),
        )
        for pk in ids
    }


def _parts(ids: list[int]) -> dict[int, list[Chosen]]:
    rows = [row for parts in listed(ids).values() for row in parts]
    known = figures(row.part for row in rows if row.part)
    names: dict[int, Counter[str]] = defaultdict(Counter)
    found: dict[int, list[Chosen]] = defaultdict(list)
    for row in rows:
        name = _once(row.name, names[row.build_id])
        found[row.build_id].append(
            Chosen(name, row.kind, row.quantity, _figures(row, known), row.part_id)
        )
    return found


def _figures(row: BuildPart, known: dict[int, Figures]) -> Figures:
    return known[row.part_id] if row.part_id else own_figures(row.kind, row.spec)


def _wires(ids: list[int]) -> dict[int, list[Wired]]:
    names: dict[int, Counter[str]] = defaultdict(Counter)
    found: dict[int, list[Wired]] = defaultdict(list)
    for run in WireRun.objects.filter(build__in=ids, ended_at=None).order_by("id"):
        name = _once(str(run), names[run.build_id])
        found[run.build_id].append(
            Wired(name, run.carries, run.gauge, run.length_mm, run.parallel, run.is_guess, run.pk)
        )
    return found


def _once(name: str, seen: Counter[str]) -> str:
    """A name that no other thing of the build bears: the sums tell things apart by it."""
    seen[name] += 1
    return name if seen[name] == 1 else f"{name} ({seen[name]})"


def _shown(slot: Slot) -> Shown:
    share = LIGHT[slot.look]
    return Shown(slot.place, slot.name, slot.colour, share.worst, share.typical)
