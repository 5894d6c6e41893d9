"""False alarms, power and naming over simulated alcoves taped from end to end.

Run as ``python -m tests.bench.bench_slips [DRAWS [alarms] [naming]]``: some six minutes of one
core at 10,000 draws. Prints the tables that stand in RESULTS.md.

* False alarms and power, normal draws: 74 readings an alcove, no photo, errors and closures drawn
  from the very uncertainties that are stated; |w| of one reading of each alcove past 3.29.
* False alarms, as a tape errs: bowed edges, rectangular errors, values to the sixteenth.
* Naming: one slip an alcove, one in ten of no listed kind; a quarter of the draws in each of four
  cases: with photos or without, with the rates as made or each three times out.
"""

from __future__ import annotations

import sys

from scipy.stats import binom

from tests.support.simulated_slips import BOX, NONE
from tests.support.slip_study import (
    Alarms,
    Naming,
    gaussian_study,
    naming_study,
    rectangular_alarms,
    shares,
)

DRAWS = 10_000
SLIPS_IN = (1 / 8, 1 / 4, 1 / 2, 1.0)
STATED = 0.001


def main(draws: int, parts: list[str]) -> None:
    if "alarms" in parts:
        _alarms_and_power(draws)
    if "naming" in parts:
        _naming(draws // 4)


def _alarms_and_power(draws: int) -> None:
    alarms, powers = gaussian_study(draws, 2026, tuple(inches * 25.4 for inches in SLIPS_IN))
    print(
        "| false alarms | past 3.29 | expected | 99.9 % bounds | all readings |\n"
        + "|---" * 5
        + "|"
    )
    print(_alarm_row("normal draws", alarms))
    print(_alarm_row("as a tape errs", rectangular_alarms(draws, 2027)))
    print("\n| slip | found | theory |\n|---|---|---|")
    for inches, power in zip(SLIPS_IN, powers.values(), strict=True):
        found, theory = power.found / power.drawn, power.expected / power.drawn
        print(f"| {inches} in | {found:.1%} | {theory:.1%} |")


def _naming(draws: int) -> None:
    for with_photos in (True, False):
        for rates_off in (1.0, 3.0):
            naming = naming_study(draws, 2028, with_photos=with_photos, rates_off=rates_off)
            _print_naming(naming, with_photos, rates_off)
            sys.stdout.flush()


def _alarm_row(name: str, alarms: Alarms) -> str:
    low, high = (int(binom.ppf(q, alarms.alcoves, STATED)) for q in (0.0005, 0.9995))
    every = alarms.all_past_conflict / alarms.readings
    return (
        f"| {name} | {alarms.past_conflict} of {alarms.alcoves} | {STATED * alarms.alcoves:.0f} "
        f"| {low} to {high} | {every:.3%} |"
    )


def _print_naming(naming: Naming, with_photos: bool, rates_off: float) -> None:
    wrong, unlisted, _least = shares(naming)
    seen = "photos and tape" if with_photos else "tape alone"
    rates = "rates as made" if rates_off == 1 else f"each assumed rate {rates_off:g} times out"
    print(f"\n{seen}, {rates}: {wrong:.1%} of the detected named wrongly, {unlisted:.1%} of those")
    print("of no listed kind named at all\n")
    print("| slip | made | detected | named right | named wrongly |\n|---|---|---|---|---|")
    for kind in sorted(naming.made, key=lambda kind: (kind == NONE, kind == BOX, kind)):
        made, detected = naming.made[kind], naming.detected[kind]
        of = max(detected, 1)
        print(
            f"| {kind} | {made} | {detected / made:.1%} | {naming.right[kind] / of:.1%} "
            f"| {naming.wrong[kind] / of:.1%} |"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS, sys.argv[2:] or ["alarms", "naming"])
