"""From a fresh checkout to a running program or test run, with the standard library only.

``python3 -m service.bootstrap example`` and ``python3 -m service.bootstrap test`` are the two
commands of the README. Nothing in this package may import an installed package, nor the rest of
the service: it runs before there is anything to import.
"""
