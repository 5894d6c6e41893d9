"""Field truth from the files that `tapeproof release` keeps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from service.files.plan_release import read_locked
from service.measuring.field_truth import FieldShare, field_truth
from service.measuring.release.revision import Revision


def field_truth_lines(paths: Sequence[Path], shop: str) -> Iterator[str]:
    """How often each phone's photo intervals held the tape of the sheets that were locked, for a
    terminal.

    Of each sheet its last revision counts, as it stood when it was locked.

    Raises
    ------
    FileError
        A file that cannot be used, or that is not as it was written.
    """
    last = [revision for path in dict.fromkeys(paths) for revision in _last(path)]
    kept = [one.evidence for one in last if one.evidence is not None and one.evidence.sizes]
    said = "sheet" if len(last) == 1 else "sheets"
    yield f"{f'{shop}: ' if shop else ''}{len(last)} released {said}"
    if len(kept) < len(last):
        yield f"{len(last) - len(kept)} of them without a size that a photo shows"
    shares = field_truth(size for evidence in kept for size in evidence.proved(shop))
    yield from map(share_line, shares)


def _last(path: Path) -> Sequence[Revision]:
    return tuple({revision.sheet: revision for revision in read_locked(path)}.values())


def share_line(share: FieldShare) -> str:
    """One phone's share, and what it says of the 95 %."""
    bounds = f"{100 * share.low:.0f} to {100 * share.high:.0f} %"
    word = "more than 95 %, wider than need be" if share.more else "95 % is not borne out"
    if share.bears_out:
        word = "95 % is borne out" if share.enough else "too few to tell"
    held = f"{share.held} of {share.count} photo intervals held the tape"
    return f"{share.phone}: {held} ({100 * share.share:.0f} %, truly {bounds}): {word}"
