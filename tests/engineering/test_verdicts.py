"""The whole build: what its own slots stop, what full white asks, what is worth knowing."""

from dataclasses import replace
from random import Random

import pytest

from builds.engineering.findings import Finding, Level
from builds.engineering.power import (
    Basis,
    Case,
    Cell,
    Load,
    Path,
    Rating,
    Run,
    Verdict,
    judge,
)

CASES = 1000
CELL = Cell("cell", 3000, Rating("cell", 15.0, "invented sheet"))
CALM = Path((Run("blade wire", 22, 0.1, ("strip",)),))


def case(name: str, worst_a: float, basis: Basis = Basis.OWN, idle_a: float = 0.001) -> Case:
    return Case(name, (Load("strip", worst_a, worst_a / 2, idle_a),), basis)


def white(worst_a: float) -> Case:
    return case("full white", worst_a, Basis.PAPER)


def said(verdict: Verdict) -> list[tuple[str, str, str]]:
    return [(finding.level, finding.code, finding.about) for finding in verdict.findings]


def only(verdict: Verdict) -> Finding:
    (finding,) = verdict.findings
    return finding


def test_a_build_within_its_limits_has_nothing_to_say() -> None:
    assert said(judge(CELL, (case("blue", 2.0), white(2.4)), CALM)) == []


def test_own_slot_over_a_limit_stops_the_build() -> None:
    found = judge(CELL, (case("blue", 2.0), case("gold", 3.5)), CALM)
    assert said(found) == [("stops", "over-limit", "blade wire")]
    assert only(found).figures["case"] == "gold"
    assert found.worst == "gold"


def test_own_slot_past_the_free_air_bound_stops_it_harder() -> None:
    assert said(judge(CELL, (case("gold", 7.5),), CALM))[0] == (
        "stops", "over-upper", "blade wire",
    )  # fmt: skip


def test_full_white_is_one_decision_whatever_it_breaks() -> None:
    finding = only(judge(CELL, (case("blue", 2.0), white(15.8)), CALM))
    assert (finding.level, finding.code, finding.about) == ("decide", "full-white", "full white")
    assert finding.figures["limits"] == "cell, blade wire"
    assert finding.figures["past_upper"] == "blade wire"
    assert finding.figures["current_a"] == 15.8


def test_two_papers_are_still_one_decision() -> None:
    cases = (case("blue", 2.0), white(9.5), case("white at 60 mA", 15.8, Basis.PAPER))
    finding = only(judge(CELL, cases, CALM))
    assert (finding.code, finding.about) == ("full-white", "white at 60 mA")


def test_a_slot_that_breaks_a_limit_does_not_hide_the_decision() -> None:
    found = said(judge(CELL, (case("gold", 3.5), white(15.8)), CALM))
    assert found == [
        ("stops", "over-limit", "blade wire"), ("decide", "full-white", "full white"),
    ]  # fmt: skip


def test_each_part_is_named_once_at_its_worst_slot() -> None:
    cases = (case("red", 2.5), case("gold", 3.5), case("blue", 3.2), white(2.6))
    found = judge(CELL, cases, CALM)
    assert said(found) == [("stops", "over-limit", "blade wire")]
    assert only(found).figures["case"] == "gold"


def test_of_two_parts_of_one_name_the_broken_one_is_told() -> None:
    strong, weak = (Rating("connector", limit_a, "invented label") for limit_a in (2.4, 1.5))
    for ratings in ((strong, weak), (weak, strong)):
        assert said(judge(CELL, (case("red", 2.0),), Path((), ratings))) == [
            ("stops", "over-limit", "connector")
        ]


def test_lowest_voltage_is_told_though_another_slot_draws_more_through_the_run() -> None:
    path = Path((Run("cell wire", 18, 1.8), Run("pad", 24, 0.1, ("board",))))
    dim = Case("dim", (Load("strip", 0.5, 0.1), Load("board", 1.9, 0.5)), Basis.OWN)
    bright = Case("bright", (Load("strip", 5.0, 0.1), Load("board", 1.8, 0.5)), Basis.OWN)
    found = judge(CELL, (dim, bright), path)
    told = {f.about: f.figures["case"] for f in found.findings if f.code == "low-voltage"}
    assert told["pad"] == "bright"


def test_near_a_limit_is_worth_knowing() -> None:
    assert said(judge(CELL, (case("red", 2.5),), CALM)) == [("know", "near-limit", "blade wire")]
    rated = replace(CELL, rating=Rating("cell", 2.4, "invented sheet"))
    assert said(judge(rated, (case("red", 2.0),), CALM)) == [("know", "near-limit", "cell")]


def test_full_white_near_a_limit_is_known_unless_a_slot_says_it() -> None:
    assert said(judge(CELL, (case("red", 1.0), white(2.5)), CALM)) == [
        ("know", "near-limit", "blade wire")
    ]
    assert len(judge(CELL, (case("red", 2.5), white(2.6)), CALM).findings) == 1


@pytest.mark.parametrize(
    ("cases", "level"),
    [
        ((case("red", 5.0),), Level.DECIDE),
        ((case("red", 1.0), white(5.0)), Level.KNOW),
        ((case("red", 5.0), white(6.0)), Level.DECIDE),
    ],
)
def test_low_voltage_is_a_decision_in_a_slot_and_known_on_paper(
    cases: tuple[Case, ...], level: Level
) -> None:
    found = judge(CELL, cases, Path((Run("long wire", 18, 2.0),)))
    assert [f.level for f in found.findings if f.code == "low-voltage"] == [level]


@pytest.mark.parametrize(
    ("idle_a", "limit_days", "asked"),
    [(0.010, 21, True), (0.001, 21, False), (0.001, 365, True)],
)
def test_fewer_idle_days_than_the_shop_wants_is_a_decision(
    idle_a: float, limit_days: float, asked: bool
) -> None:
    found = judge(CELL, (case("blue", 1.0, idle_a=idle_a),), CALM, limit_days)
    assert (("decide", "idle-days", "blue") in said(found)) is asked


def test_exactly_the_days_that_the_shop_wants_pass() -> None:
    cell = replace(CELL, self_discharge_per_month=0)
    assert said(judge(cell, (case("blue", 1.0, idle_a=0.0025),), CALM, 50)) == []
    assert len(said(judge(cell, (case("blue", 1.0, idle_a=0.0025),), CALM, 50.001))) == 1


def test_a_load_of_one_slot_alone_is_known_to_the_others() -> None:
    accent = Load("accent", 0.1, 0.05)
    both = Case("blue", (*case("", 2.0).loads, accent), Basis.OWN)
    path = Path((*CALM.runs, Run("accent wire", 28, 0.1, ("accent",))))
    found = judge(CELL, (both, case("red", 2.0)), path)
    assert found.budgets["red"].limits[-1].current_a == 0
    assert found.budgets["blue"].limits[-1].current_a == 0.1


def test_worst_case_is_an_own_slot_where_there_is_one() -> None:
    assert judge(CELL, (case("red", 1.0), case("gold", 2.0), white(9.0)), CALM).worst == "gold"
    assert judge(CELL, (white(9.0),), CALM).worst == "full white"


@pytest.mark.parametrize(
    ("cases", "path", "days", "says"),
    [
        ((), CALM, 21, "There is nothing to judge"),
        ((case("red", 1), case("red", 2)), CALM, 21, "Two cases bear the name red"),
        ((case("red", 1),), Path((Run("w", 22, 1, ("strop",)),)), 21, "carry strop"),
        ((case("red", 1),), CALM, 0, "The shop's limit of idle days"),
        ((case("red", 1),), CALM, float("nan"), "The shop's limit of idle days"),
    ],
)
def test_what_cannot_be_judged_is_refused(
    cases: tuple[Case, ...], path: Path, days: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        judge(CELL, cases, path, days)


def test_no_build_passes_that_one_of_its_slots_would_stop() -> None:
    random = Random(17)
    for _ in range(CASES):
        cases = [case(str(n), random.uniform(0.1, 5)) for n in range(random.randint(1, 6))]
        found = judge(CELL, [*cases, white(random.uniform(1, 18))], CALM)
        alone = [judge(CELL, (one,), CALM) for one in cases]
        stopped = any(f.level is Level.STOPS for one in alone for f in one.findings)
        assert any(f.level is Level.STOPS for f in found.findings) is stopped
        assert stopped is any(one.loads[0].worst_a > 3 for one in cases)


def test_full_white_alone_never_stops_a_build() -> None:
    random = Random(18)
    for _ in range(CASES):
        found = judge(CELL, (case("red", 1.0), white(random.uniform(0.1, 60))), CALM)
        assert all(finding.level is not Level.STOPS for finding in found.findings)
        assert sum(finding.code == "full-white" for finding in found.findings) <= 1


def test_the_gravest_comes_first() -> None:
    path = Path((Run("blade wire", 22, 2.0, ("strip",)),))
    found = judge(CELL, (case("red", 3.5, idle_a=0.02), white(15.8)), path)
    weights = ["stops", "decide", "know"]
    levels = [weights.index(finding.level) for finding in found.findings]
    assert levels == sorted(levels)
    assert levels[0] == 0
