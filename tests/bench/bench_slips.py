"""False alarms, power and naming over simulated alcoves taped from end to end.

Run as ``nice -n 15 python -m tests.bench.bench_slips [DRAWS [alarms] [naming] [elsewhere]]``: some
half an hour of one core. Prints the tables that stand in RESULTS.md.

* False alarms and power, normal draws: 74 readings an alcove, no photo, errors and closures drawn
  from the very uncertainties that are stated; |w| of one reading of each alcove past 3.29.
* False alarms, as a tape errs: bowed edges, rectangular errors, values to the sixteenth.
* Naming: one slip an alcove, of each kind until 500 are detected; each alcove is judged in four
  cases: with photos or without, with the rates as made or each three times out.
* Naming elsewhere: the same in showers and other tubs, which nothing was chosen on.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence

from scipy.stats import binom

from tests.support.simulated_alcove import other_plan
from tests.support.simulated_slips import GOAL_KINDS, NONE, RATES
from tests.support.slip_naming import Case, Naming, Tally, naming_study
from tests.support.slip_study import Alarms, gaussian_study, rectangular_alarms

DRAWS = 10_000
SLIPS_IN = (1 / 8, 1 / 4, 1 / 2, 1.0)
STATED = 0.001
CASES = tuple(Case(photos, off) for photos in (True, False) for off in (1.0, 3.0))


def main(draws: int, parts: Sequence[str]) -> None:
    if "alarms" in parts:
        _alarms_and_power(draws)
    enough = draws // 20
    if "naming" in parts:
        _naming("usual tubs", naming_study(4051, CASES, enough=enough, most=2 * enough))
    if "elsewhere" in parts:
        kinds = (*GOAL_KINDS, NONE)
        found = naming_study(4052, CASES, kinds, enough=enough, most=2 * enough, plan=other_plan)
        _naming("showers and other tubs", found)


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


def _naming(rooms: str, found: Mapping[Case, Naming]) -> None:
    made = sum(tally.made for tally in next(iter(found.values())).tallies.values())
    print(f"\n{rooms}: {made} alcoves, each in {len(found)} cases\n")
    print(f"| slip | {' | '.join(map(str, found))} |")
    print("|---" * (len(found) + 1) + "|")
    first = next(iter(found.values()))
    for kind in (*RATES, NONE):
        if kind in first.tallies:
            cells = [_named(naming.tallies[kind]) for naming in found.values()]
            print(f"| {kind} | {' | '.join(cells)} |")
    overall = [f"{naming.overall(lambda t: t.wrong):.1%}" for naming in found.values()]
    print(f"| all at their rates, wrongly | {' | '.join(overall)} |")
    for case, naming in found.items():
        if case.rates_off == 1:
            _detail(case, naming)
    sys.stdout.flush()


def _named(tally: Tally) -> str:
    return f"{100 * tally.share(tally.right):.1f} / {100 * tally.share(tally.wrong):.1f}"


def _detail(case: Case, naming: Naming) -> None:
    """What stands behind one column, beside what could have been known."""
    print(f"\n{case}\n")
    print(
        "| slip | made | detected | right | of them in one of two readings | one of two kinds ",
        end="",
    )
    print("| ranked first | wrong | could be known | wrong then |")
    print("|---" * 10 + "|")
    for kind, tally in naming.tallies.items():
        counts = (
            tally.right,
            tally.one_of_two_readings,
            tally.either,
            tally.first,
            tally.wrong,
            tally.known,
            tally.known_wrong,
        )
        shares = " | ".join(f"{100 * tally.share(count):.1f}" for count in counts)
        detected = f"{100 * tally.detected / max(tally.made, 1):.1f}"
        print(f"| {kind} | {tally.made} | {detected} | {shares} |")
        if tally.as_what and kind in (*GOAL_KINDS, NONE):
            print(f"<!-- {kind} named as {tally.as_what} -->")
    known, wrong = (naming.overall(lambda t: t.known), naming.overall(lambda t: t.known_wrong))
    right = naming.overall(lambda t: t.right)
    print(f"\nall at their rates: {right:.1%} right, could be known {known:.1%}, wrong {wrong:.1%}")


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS,
        sys.argv[2:] or ["alarms", "naming", "elsewhere"],
    )
