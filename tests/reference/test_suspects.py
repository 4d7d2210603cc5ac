"""Odds of suspects and what a test is expected to tell, against inference in a Bayesian network.

The network is the naive one: a node of causes with the starting odds, and under it a node for each
kind of evidence. Its library, pyagrum, knows nothing of how ours sums logarithms.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping

import pytest

from jobs.suspects.information import expected_bits
from jobs.suspects.knowledge import tables
from jobs.suspects.odds import IN_A_GROUP, Piece, update
from jobs.suspects.tables import Table, entropy
from tests.jobs.suspects.made import table
from tests.needs import needs
from tests.reference.conftest import Against

try:
    import pyagrum
except (
    ImportError
):  # for want of a library of the system: `needs` leaves these tests out and says so
    pyagrum = None

pytestmark = needs("openmp")

LAZY = "pyagrum library, lazy propagation in a naive Bayesian network"
INFORMATION = "pyagrum library, information theory on the same network"
RELATIVE = 1e-9
PLACES = 11
"""Digits after the point of a greatest difference: those beyond are each machine's own."""

RANDOM_TABLES = 150

STARTS_BADLY = {
    "complaint.engine_temperature": "hot_restart",
    "look_over": "poor_ground",
    "cranking": "good_volts_low_current",
    "voltage_drop": "lost_in_one_step",
}
LOSES_COOLANT = {
    "complaint.engine_temperature": "any",
    "pressure_hold": "falls_faster",
    "oil_level": "milky_cap",
}


def network(made: Table, weights: Mapping[str, float]) -> pyagrum.BayesNet:
    """Causes and the evidence named in `weights`; less than 1 mixes a row with `otherwise`."""
    net = pyagrum.BayesNet()
    codes = list(made.starts)
    net.add(pyagrum.LabelizedVariable("cause", "", codes))
    net.cpt("cause").fillWith([made.starts[code] for code in codes])
    for key, weight in weights.items():
        evidence = made.evidence[key]
        net.add(pyagrum.LabelizedVariable(key, "", list(evidence.otherwise)))
        net.addArc("cause", key)
        for code in codes:
            row, other = evidence.rows.get(code, evidence.otherwise), evidence.otherwise
            net.cpt(key)[{"cause": code}] = [
                weight * row[outcome] + (1 - weight) * other[outcome] for outcome in other
            ]
    return net


def inference(
    made: Table, seen: Mapping[str, str], weights: Mapping[str, float]
) -> pyagrum.LazyPropagation:
    """The network after this evidence."""
    engine = pyagrum.LazyPropagation(network(made, weights))
    engine.setEvidence(dict(seen))
    engine.makeInference()
    return engine


def posterior(made: Table, engine: pyagrum.LazyPropagation) -> dict[str, float]:
    return dict(zip(made.starts, engine.posterior("cause").tolist(), strict=True))


def random_table(draw: random.Random) -> Table:
    """Up to 16 suspects and 12 tests of up to 10 outcomes; about half of the rows are own ones."""
    codes = [f"s{n}" for n in range(draw.randint(2, 16))]

    def row(outcomes: Iterable[str]) -> dict[str, float]:
        weights = {outcome: draw.uniform(1, 60) for outcome in outcomes}
        return {outcome: weight / sum(weights.values()) for outcome, weight in weights.items()}

    evidence = {}
    for number in range(draw.randint(1, 12)):
        outcomes = [f"o{n}" for n in range(draw.randint(2, 10))]
        own = [code for code in codes if draw.random() < 0.5]
        evidence[f"t{number}"] = {name: row(outcomes) for name in ("", *own)}
    return table({code: draw.randint(1, 100) for code in codes}, evidence)


def random_case(seed: int) -> tuple[Table, dict[str, str], dict[str, float]]:
    """A table, what was seen of some of its tests, and how much each of them counts."""
    draw = random.Random(seed)
    made = random_table(draw)
    seen = {
        key: draw.choice(list(evidence.otherwise))
        for key, evidence in made.evidence.items()
        if draw.random() < 0.8
    }
    return made, seen, {key: draw.choice([1.0, 0.5, 0.1]) for key in made.evidence}


def apart(ours: Mapping[str, float], theirs: Mapping[str, float]) -> float:
    """The greatest relative difference of two sets of shares."""
    return max(abs(ours[code] / theirs[code] - 1) for code in theirs)


def test_odds_of_random_tables(against: Against) -> None:
    """Whole and weakened evidence, none to twelve pieces of it."""
    most = 0.0
    for seed in range(RANDOM_TABLES):
        made, seen, weights = random_case(seed)
        ours = update(made, [Piece(key, seen[key], weights[key]) for key in seen]).shares
        most = max(most, apart(ours, posterior(made, inference(made, seen, weights))))
    against(
        f"greatest relative difference of a suspect's odds in {RANDOM_TABLES} random tables",
        LAZY,
        expected=0.0,
        got=round(most, PLACES),
        within=RELATIVE,
    )


def test_bits_of_random_tables(against: Against) -> None:
    """Each test that was not made, after those that were."""
    most = 0.0
    for seed in range(RANDOM_TABLES):
        made, seen, weights = random_case(seed)
        engine = inference(made, seen, weights)
        shares = posterior(made, engine)
        for key in (key for key in made.evidence if key not in seen):
            theirs = pyagrum.InformationTheory(engine, ["cause"], [key]).mutualInformationXY()
            most = max(most, abs(expected_bits(made.evidence[key], shares, weights[key]) - theirs))
    against(
        f"greatest difference of what a test is expected to tell in {RANDOM_TABLES} random tables",
        INFORMATION,
        expected=0.0,
        got=round(most, PLACES),
        within=RELATIVE,
        unit="bits",
    )


@pytest.mark.parametrize("seed", range(3))
def test_uncertainty_of_random_odds(seed: int, against: Against) -> None:
    made, seen, weights = random_case(seed)
    engine = inference(made, seen, weights)
    against(
        f"uncertainty left among the suspects of random table {seed}",
        INFORMATION,
        expected=pyagrum.InformationTheory(engine, ["cause"], [next(iter(weights))]).entropyX(),
        got=entropy(posterior(made, engine)),
        relative=RELATIVE,
        unit="bits",
    )


@pytest.mark.parametrize(
    ("family", "seen"), [("starts_badly", STARTS_BADLY), ("loses_coolant", LOSES_COOLANT)]
)
class TestOurTables:
    def test_odds(self, family: str, seen: dict[str, str], against: Against) -> None:
        made = tables()[family]
        ours = update(made, [Piece(key, outcome) for key, outcome in seen.items()])
        theirs = posterior(made, inference(made, seen, dict.fromkeys(seen, 1.0)))
        for code in ours.leading:
            against(
                f"share of “{made.suspect(code).label}”, {family.replace('_', ' ')}, "
                f"after {len(seen)} pieces of evidence",
                LAZY,
                expected=theirs[code],
                got=ours.shares[code],
                relative=RELATIVE,
            )

    def test_bits(self, family: str, seen: dict[str, str], against: Against) -> None:
        """Every test of the table that was not made yet."""
        made = tables()[family]
        engine = inference(made, seen, dict.fromkeys(made.evidence, 1.0))
        shares = posterior(made, engine)
        for key in (key for key in made.evidence if key not in seen):
            against(
                f"what {key.replace('_', ' ')} is expected to tell, {family.replace('_', ' ')}, "
                f"after {len(seen)} pieces of evidence",
                INFORMATION,
                expected=pyagrum.InformationTheory(engine, ["cause"], [key]).mutualInformationXY(),
                got=expected_bits(made.evidence[key], shares),
                within=1e-12,
                relative=RELATIVE,
                unit="bits",
            )


def test_tests_of_one_group_are_the_network_with_one_row_mixed(against: Against) -> None:
    """Compression says most of a worn engine, so the plugs, which see the same, count half."""
    made = tables()["starts_badly"]
    seen = {"compression": "low_rises_wet", "spark_plugs": "one_unlike"}
    ours = update(made, [Piece(key, seen[key], group="cylinder") for key in seen]).shares
    engine = inference(made, seen, {"compression": 1.0, "spark_plugs": IN_A_GROUP})
    against(
        "share of a worn engine after compression and plugs, which see the same thing",
        LAZY,
        expected=posterior(made, engine)["low_compression"],
        got=ours["low_compression"],
        relative=RELATIVE,
    )
