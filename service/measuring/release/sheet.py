"""Whether one sheet may be cut: every size that it needs is proved, or the reason why not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.measuring.release.facts import NothingChecks, SecondLook, SheetNeeds, same_person
from service.measuring.release.size import Held, ProvedSize


@dataclass(frozen=True, slots=True)
class SheetState:
    """How one sheet stands; ``looked`` are the looks that count, of one thing its own last."""

    needs: SheetNeeds
    proved: tuple[ProvedSize, ...]
    held: tuple[Held, ...]
    looked: tuple[SecondLook, ...] = ()

    @property
    def may_be_released(self) -> bool:
        """Whether nothing holds it; a sheet that needs no size is not made yet."""
        return bool(self.proved) and not self.held


def sheet_state(
    needs: SheetNeeds,
    sizes: Sequence[ProvedSize | Held],
    looks: Sequence[SecondLook] = (),
) -> SheetState:
    """Judge one sheet by its own sizes; other sheets of the same alcove may stand otherwise."""
    seen = [one for what, value in needs.looks.items() for one in _looks(what, value, looks)]
    return SheetState(
        needs,
        tuple(size for size in sizes if isinstance(size, ProvedSize)),
        tuple(found for found in (*sizes, *seen) if isinstance(found, Held)),
        tuple(found for found in seen if isinstance(found, SecondLook)),
    )


def looks_for(sheet: str, looks: Mapping[str, Sequence[SecondLook]]) -> tuple[SecondLook, ...]:
    """The looks that speak for one sheet: its own last, for they are the ones told of where none
    counts; before them what others vouch for that is common to the alcove."""
    others = (look for name, rows in looks.items() if name != sheet for look in rows)
    return (*(look for look in others if look.what.common), *looks.get(sheet, ()))


def _looks(
    what: NothingChecks, value: str, looks: Sequence[SecondLook]
) -> list[SecondLook] | list[Held]:
    """All that count of one thing; where none does, what holds it."""
    do = "let a second person confirm it, or take a photo with the tape in it"
    own = [look for look in looks if look.what is what]
    now = [look for look in own if look.value == value]
    counting = [look for look in now if look.photo or _by_two(look)]
    if counting:
        return counting
    why = "nothing can check it"
    if now:
        why = "confirmed by the one who stated it"
    elif own:
        why = f"confirmed as {own[-1].value}, and now it is {value}"
    return [Held(str(what), why, do)]


def _by_two(look: SecondLook) -> bool:
    return not same_person(look.first or "", look.second or "")
