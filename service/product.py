"""The product's name, in the one place that knows it."""

from typing import Final

NAME: Final = "Tapeproof"
COMMAND: Final = "tapeproof"
ENVIRONMENT_PREFIX: Final = "TAPEPROOF_"
