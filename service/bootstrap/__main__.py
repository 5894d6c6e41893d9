"""The bootstrap commands; see `COMMANDS`."""

from __future__ import annotations

import sys

_OLDEST = (3, 11)


def main(arguments: list[str]) -> int:
    """Run one bootstrap command and return its exit code."""
    # Checked before anything else is imported: an older Python cannot even read it.
    if sys.version_info < _OLDEST:
        found = ".".join(map(str, sys.version_info[:3]))
        print(
            f"Python 3.11 or newer is needed, this is {found}: start this command with a newer "
            "one, for example python3.11 in place of python3.",
            file=sys.stderr,
        )
        return 2
    from service.bootstrap.commands import run

    return run(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
