"""What each bootstrap command prepares and then runs."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

from service.bootstrap.environment import Environment, prepare
from service.bootstrap.relock import relock
from service.bootstrap.steps import SetupError, Step, clean_environment, run_steps, say

CHECKOUT: Final = Path(__file__).resolve().parents[2]
_NO_SERVE: Final = "--no-serve"
USAGE: Final = """usage: python3 -m service.bootstrap COMMAND

  example   set up, run the example job from its photos to its cutting sheets, then serve
            the pages (not with --no-serve, nor with CI=true)
  test      set up, fetch the outside data, then lint, types, layers and every test
  bench     set up, then run the long studies of tests/bench, or those named
  setup     set up only, as far as the group named: run (default), heic, test, lock, make
  lock      set up, then write requirements.lock anew from pyproject.toml
"""


def run(arguments: list[str]) -> int:
    """Run the named command; the rest of the arguments go to what it starts."""
    if arguments[:1] in (["-h"], ["--help"]):
        print(USAGE, end="")
        return 0
    command = COMMANDS.get(arguments[0]) if arguments else None
    if command is None:
        print(USAGE, end="", file=sys.stderr)
        return 2
    try:
        return command(arguments[1:])
    except SetupError as error:
        print(f"\n{error}", file=sys.stderr)
        return 2
    except OSError as error:
        print(f"\n{error.filename or CHECKOUT}: {error.strerror}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.", file=sys.stderr)
        return 130


def _example(arguments: list[str]) -> int:  # noqa: RET503 - its last line never returns
    environment = prepare(CHECKOUT, "run")
    given = [argument for argument in arguments if argument != _NO_SERVE]
    code = run_steps([Step("example", environment.tool("tapeproof", "example", *given))])
    if code or _NO_SERVE in arguments or os.environ.get("CI") == "true":
        return code
    say("The same job in the browser:")
    serve = environment.tool("tapeproof", "serve")
    # In place of this process, so that Ctrl-C reaches the service and nothing else.
    os.execve(serve[0], serve, clean_environment())  # never returns


def _test(arguments: list[str]) -> int:
    environment = prepare(CHECKOUT, "test")
    return run_steps(_checks(environment, arguments))


def _bench(names: list[str]) -> int:
    environment = prepare(CHECKOUT, "test")
    studies = sorted(path.stem for path in (CHECKOUT / "tests" / "bench").glob("bench_*.py"))
    if unknown := [name for name in names if name not in studies]:
        raise SetupError(f"There is no study {unknown[0]!r}; there are {', '.join(studies)}.")
    steps = [Step(name, environment.module(f"tests.bench.{name}")) for name in names or studies]
    return run_steps([_outside_data(environment), *steps])


def _setup(groups: list[str]) -> int:
    for group in groups or ["run"]:
        prepare(CHECKOUT, group)
    return 0


def _lock(_arguments: list[str]) -> int:
    relock(prepare(CHECKOUT, "lock"))
    return 0


def _checks(environment: Environment, arguments: list[str]) -> list[Step]:
    """Everything that must hold, pytest last: its closing line ends the output."""
    # Two workers with one thread each; a linear algebra library that starts its own threads
    # beside them makes both slower.
    single = {"OPENBLAS_NUM_THREADS": os.environ.get("OPENBLAS_NUM_THREADS", "1")}
    tests = environment.module("pytest", "-n", "2", "--dist", "loadfile", *arguments)
    return [
        _outside_data(environment),
        Step("browser", environment.module("service.bootstrap.browser")),
        Step("ruff check", environment.tool("ruff", "check", "--output-format", "concise", ".")),
        Step("ruff format", environment.tool("ruff", "format", "--check", ".")),
        Step("mypy", environment.module("mypy")),
        Step("lint-imports", environment.tool("lint-imports")),
        Step("pytest", tests, single),
    ]


def _outside_data(environment: Environment) -> Step:
    return Step("outside data", environment.module("tests.support.outside"))


COMMANDS: Final[dict[str, Callable[[list[str]], int]]] = {
    "example": _example,
    "test": _test,
    "bench": _bench,
    "setup": _setup,
    "lock": _lock,
}
