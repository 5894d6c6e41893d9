"""Which sizes of its wall each sheet of a job is cut by."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING, Final

from service.actions.plan.job import plan_stored
from service.errors import ServiceError
from service.store.rows import WALL_NAMES, JobRow, WallName

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from service.actions.plan.job import Reports
    from service.panels.model import Plan
    from service.store.unit import Unit

_KEPT: Final = 64


def cut_by(plan: Plan) -> dict[str, frozenset[str]]:
    """The measured sizes that each sheet of a plan hangs on, by its wall; none that has no such."""
    found = {
        panel.wall: frozenset(size.dimension for size in panel.sizes if size.dimension)
        for panel in plan.panels
    }
    return {wall: sizes for wall, sizes in found.items() if sizes}


class CutSizes:
    """Remembered while the settings of the plan and the sizes there are stay what they are: which
    of them a sheet hangs on does not change with what they come to, and each reading asks.

    Settings that nobody has kept name the sizes there are so far, and ask for no other.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[str, dict[WallName, frozenset[str]]] = OrderedDict()

    def of_job(
        self, unit: Unit, job: JobRow, reports: Reports, sizes: Mapping[str, Collection[str]]
    ) -> dict[WallName, frozenset[str]]:
        """By wall; nothing where no settings are kept, or no plan can be made of them.

        Parameters
        ----------
        sizes
            Those of each wall that have a value.
        """
        if job.document["plan"] is None:
            return {}
        named = {wall: sorted(names) for wall, names in sorted(sizes.items())}
        key = repr((job.id, job.scope, job.document["plan"], named))
        with self._lock:
            found = self._kept.get(key)
        if found is not None:
            return found
        try:
            plan = plan_stored(unit, job, reports).plan
        except ServiceError:
            return {}
        by_wall = cut_by(plan)
        called = {wall: wall.replace("-", " ") for wall in WALL_NAMES}
        found = {wall: by_wall[name] for wall, name in called.items() if name in by_wall}
        with self._lock:
            self._kept[key] = found
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return found
