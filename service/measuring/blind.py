"""Which sizes are to be taped blind: without knowing what is expected of them."""

from __future__ import annotations

from typing import Final

from service.measuring.judgement import Status

_IN_DOUBT: Final = (Status.CONFLICTS, Status.UNSURE)


def is_blind(status: str, taken: int, *, accused: bool, let_stand: bool) -> bool:
    """Whether a size is to be taped first, or its one reading is to be taken again.

    Parameters
    ----------
    status
        Its status word.
    taken
        How many readings of it were ever taken, those that others took the place of among them:
        with the second, whoever tapes knows more than is told.
    accused
        Whether a slip is named in its reading.
    let_stand
        Whether somebody other than the taper lets the reading stand: it is not taken again.
    """
    if not taken:
        return True
    return (status in _IN_DOUBT or accused) and taken == 1 and not let_stand
