"""Steps: a name, a command, how long it took, and the first failure."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]


class SetupError(Exception):
    """Something is missing; the message is one line that says what, and what to do."""


@dataclass(frozen=True)
class Step:
    """A command with the name under which it is reported."""

    name: str
    command: Sequence[str]
    environment: Mapping[str, str] = field(default_factory=dict)


def run_steps(steps: Sequence[Step]) -> int:
    """Run the steps in order and stop at the first that fails; its exit code, or 0."""
    done: list[str] = []
    for number, step in enumerate(steps, 1):
        say(f"[{number}/{len(steps)}] {step.name}")
        last = number == len(steps)
        if last and done:
            # Said before the last step, so that what it prints at its end ends the output.
            say("      so far: " + ", ".join(done))
        started = time.monotonic()
        code = _run(step)
        took = time.monotonic() - started
        if code:
            say(f"      {step.name} FAILED after {took:.1f} s (exit {code})")
            return code
        done.append(f"{step.name} {took:.1f} s")
        if not last:
            say(f"      {step.name}: {took:.1f} s")
    return 0


def say(text: str) -> None:
    """Print at once, so that it stands before what the next step prints."""
    print(text, flush=True)


def clean_environment(changes: Mapping[str, str] | None = None) -> dict[str, str]:
    """This process's environment without what would lead Python or pip out of the checkout."""
    python = ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV")
    pip = ("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_REQUIRE_HASHES")
    kept = {key: value for key, value in os.environ.items() if key not in python + pip}
    kept |= {"PYTHONNOUSERSITE": "1", "PIP_DISABLE_PIP_VERSION_CHECK": "1"}
    return kept | dict(changes or {})


def _run(step: Step) -> int:
    try:
        done = subprocess.run(
            step.command, cwd=CHECKOUT, env=clean_environment(step.environment), check=False
        )
    except FileNotFoundError:
        raise SetupError(
            f"{step.command[0]} is missing: delete the folder .venv and run the command again."
        ) from None
    return done.returncode if done.returncode >= 0 else 128 - done.returncode
