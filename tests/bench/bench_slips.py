"""False alarms, power and naming over simulated alcoves taped from end to end.

Run as ``nice -n 15 python -m tests.bench.bench_slips [DRAWS [alarms] [naming] [elsewhere]
[nearest] [frontier]]``: some three quarters of an hour of one core. Prints the tables of
RESULTS.md.

* False alarms and power, normal draws: 74 readings an alcove, no photo, errors and closures drawn
  from the very uncertainties that are stated; |w| of one reading of each alcove past 3.29.
* False alarms, as a tape errs: bowed edges, rectangular errors, values to the sixteenth.
* Naming: one slip an alcove, until 500 of each kind of the goal are detected and 100 of each other;
  each alcove is judged in four cases: with photos or without, with the rates as made or each three
  times out.
* Naming elsewhere: the same in showers and other tubs, which nothing was chosen on.
* Nearest: what is nearest to its goal, inch and wrong box and slips of no listed kind, 2,000
  detected of each in both sorts of rooms: one standard error is 0.65 points on 90, 0.3 on 2.
* Frontier: what is named rightly and wrongly as the least odds move, and what by the judge that
  knows the draws as its least sureness moves; 200 detected of each kind of the goal.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence

from numpy.random import Generator
from scipy.stats import binom

from tests.support.simulated_alcove import USUAL_TUB, Plan, other_plan
from tests.support.simulated_slips import BOX, GOAL_KINDS, NONE, RATES
from tests.support.slip_frontier import Frontier, all_wrong, frontiers
from tests.support.slip_naming import Case, Naming, Tally, naming_study, possible
from tests.support.slip_study import Alarms, gaussian_study, rectangular_alarms

DRAWS = 10_000
SLIPS_IN = (1 / 8, 1 / 4, 1 / 2, 1.0)
STATED = 0.001
ODDS = (1.0, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 6.0)
SURENESS = (0.5, 0.6, 0.7, 0.8, 0.9)
CASES = tuple(Case(photos, off) for photos in (True, False) for off in (1.0, 3.0))


def main(draws: int, parts: Sequence[str]) -> None:
    if "naming" in parts:
        _naming("usual tubs", draws, 10151, _usual_tub)
    if "elsewhere" in parts:
        _naming("showers and other tubs", draws, 10252, other_plan)
    if "nearest" in parts:
        _nearest("usual tubs", draws, 10451, _usual_tub)
        _nearest("showers and other tubs", draws, 10552, other_plan)
    if "frontier" in parts:
        _frontier(draws, 10353)
    if "alarms" in parts:
        _alarms_and_power(draws)


def _usual_tub(_: Generator) -> Plan:
    return USUAL_TUB


def _naming(rooms: str, draws: int, seed: int, plan: Callable[[Generator], Plan]) -> None:
    """Rows appear kind by kind, those of the goal first; each kind has draws of its own."""
    print(f"\n{rooms}\n\n| slip | case | made | {' | '.join(_COLUMNS)} |")
    print("|---" * (len(_COLUMNS) + 3) + "|", flush=True)
    whole = {case: Naming({}, {}) for case in CASES}
    for place, kind in enumerate((*GOAL_KINDS, NONE, *RATES)):
        if kind in whole[CASES[0]].tallies:
            continue
        enough = draws // 20 if kind in (*GOAL_KINDS, NONE) else draws // 100
        found = naming_study(
            seed + place, CASES, (kind,), enough=enough, most=3 * enough, plan=plan
        )
        for case, naming in found.items():
            whole[case].tallies.update(naming.tallies)
            whole[case].weight.update(naming.weight)
            tally = naming.tallies[kind]
            for name, of in {kind: tally, **tally.parts}.items():
                print(f"| {name} | {case} | {_row(of)} |", flush=True)
    for case, naming in whole.items():
        made = sum(tally.made for tally in naming.tallies.values())
        shares = " | ".join(f"{100 * naming.overall(part):.1f}" for part in _COLUMNS.values())
        print(f"| all at their rates | {case} | {made} | {shares} |", flush=True)


def _nearest(rooms: str, draws: int, seed: int, plan: Callable[[Generator], Plan]) -> None:
    print(f"\n{rooms}\n\n| slip | case | made | {' | '.join(_COLUMNS)} |")
    print("|---" * (len(_COLUMNS) + 3) + "|", flush=True)
    for place, kind in enumerate(("inch", BOX, NONE)):
        enough = draws // 5
        found = naming_study(
            seed + place, CASES, (kind,), enough=enough, most=3 * enough, plan=plan, reference=False
        )
        for case, naming in found.items():
            tally = naming.tallies[kind]
            for name, of in {kind: tally, **tally.parts}.items():
                print(f"| {name} | {case} | {_row(of)} |", flush=True)


def _row(tally: Tally) -> str:
    shares = [f"{100 * tally.share(part(tally)):.1f}" for part in _COLUMNS.values()]
    shares[0] = f"{100 * tally.detected / max(tally.made, 1):.1f}"
    as_what = ", ".join(f"{kind} {count}" for kind, count in tally.as_what.items())
    return f"{tally.made} | {' | '.join(shares)} | {as_what}"


_COLUMNS: Mapping[str, Callable[[Tally], int]] = {
    "detected": lambda tally: tally.detected,
    "right": lambda tally: tally.right,
    "of these, one of two readings": lambda tally: tally.one_of_two_readings,
    "one of two kinds": lambda tally: tally.either,
    "ranked first": lambda tally: tally.first,
    "wrong": lambda tally: tally.wrong,
    "could be known": lambda tally: tally.known,
    "wrong then": lambda tally: tally.known_wrong,
}
"""Shares of the detected, in percent; the detected themselves of the made."""


def _frontier(draws: int, seed: int) -> None:
    enough = dict.fromkeys((*GOAL_KINDS, NONE), draws // 50)
    enough |= {kind: draws // 250 for kind in RATES if kind not in enough}
    code, known = frontiers(seed, CASES, ODDS, SURENESS, enough, _usual_tub)
    weight = possible(seed, (*RATES, NONE), _usual_tub)
    for of, steps, title in (
        (code, ODDS, "the code, from odds of"),
        (known, SURENESS, "the judge that knows the draws, from a posterior of"),
    ):
        print(f"\n| {title} | {' | '.join((*GOAL_KINDS, NONE))} | all wrong |")
        print("|---" * (len(GOAL_KINDS) + 3) + "|")
        for least in steps:
            cells = [_right_and_wrong(of, kind, least) for kind in (*GOAL_KINDS, NONE)]
            every = ", ".join(f"{100 * all_wrong(of[case], least, weight):.1f}" for case in of)
            print(f"| {least:g} | {' | '.join(cells)} | {every} |", flush=True)


def _right_and_wrong(of: Frontier, kind: str, least: float) -> str:
    """The lowest named rightly and the highest wrongly of the cases, percent of the detected."""
    named = [kinds[kind] for kinds in of.values()]
    right = min(100 * one.right[least] / one.detected for one in named)
    wrong = max(100 * one.wrong[least] / one.detected for one in named)
    return f"{right:.1f} / {wrong:.1f}"


def _alarms_and_power(draws: int) -> None:
    alarms, powers = gaussian_study(draws, 2026, tuple(inches * 25.4 for inches in SLIPS_IN))
    print("| false alarms | past 3.29 | expected | 99.9 % bounds | all readings |")
    print("|---" * 5 + "|")
    print(_alarm_row("normal draws", alarms))
    print(_alarm_row("as a tape errs", rectangular_alarms(draws, 2027)))
    print("\n| slip | found | theory |\n|---|---|---|")
    for inches, power in zip(SLIPS_IN, powers.values(), strict=True):
        found, theory = power.found / power.drawn, power.expected / power.drawn
        print(f"| {inches} in | {found:.1%} | {theory:.1%} |")
    sys.stdout.flush()


def _alarm_row(name: str, alarms: Alarms) -> str:
    low, high = (int(binom.ppf(q, alarms.alcoves, STATED)) for q in (0.0005, 0.9995))
    every = alarms.all_past_conflict / alarms.readings
    return (
        f"| {name} | {alarms.past_conflict} of {alarms.alcoves} | {STATED * alarms.alcoves:.0f} "
        f"| {low} to {high} | {every:.3%} |"
    )


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS,
        sys.argv[2:] or ["alarms", "naming", "elsewhere", "nearest", "frontier"],
    )
