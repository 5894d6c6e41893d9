"""One wall measured from its photos: the package's door."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from vision.adjust.lengths import Size
from vision.adjust.solution import SizeEstimates, WallAdjustment, WallSolution
from vision.adjust.solver import NotObservable
from vision.adjust.unseen_slips import slip_effects
from vision.adjust.wall_problem import Tape
from vision.errors import Refusal
from vision.measure_wall.adjusted_line import WallLine, adjusted_line
from vision.measure_wall.build import Built, build_network, line_marks
from vision.measure_wall.gross_marks import set_gross_aside
from vision.measure_wall.other_walls import keep_own_wall
from vision.measure_wall.repeats import repeated_sights, with_marks_joined
from vision.measure_wall.request import SizeRequest, WallRequest
from vision.measure_wall.sheets import refuse_twice
from vision.measure_wall.sight import Sight
from vision.measure_wall.vetting import SetAside, Vetted, vet
from vision.measure_wall.what_helps import Candidate, what_helps
from vision.plane.level_frame import to_level_frame
from vision.units import FloatArray

SHORTEST_LINE_MM = 1.0
STILL_FALLING = 0.01
"""Of the weighted sum: a tenth of a standard deviation."""
PROFILE_DEPARTURE = 4.0
"""Standard deviations; the largest of five is past 4 once in 3,000 honest lenses."""
_TOO_FEW: Final = (
    "These photos do not determine the wall.",
    "Add a photo taken from another place that shows a card and at least four of the marks, or put "
    "a second card at the far end.",
)
_CONTRADICT: Final = (
    "These photos contradict one another, and what is left without the marks and cards that do "
    "does not determine the wall.",
    "See that each mark has the same name in every photo, left and right not exchanged, that no "
    "card was moved and that all photos are of this wall; then add a photo taken from another "
    "place.",
)


@dataclass(frozen=True)
class TapedSize:
    """A taped size by name, signed as the size is, with its standard uncertainty."""

    name: str
    value_mm: float
    u_mm: float


@dataclass(frozen=True)
class WallPoint:
    """A mark in the report's frame, mm, with its covariance and in how many photos it is."""

    name: str
    position_mm: FloatArray
    covariance_mm2: FloatArray
    photos: int


@dataclass(frozen=True)
class UnseenSlip:
    """The slip in one mark that can move a size most before it is found.

    ``effect_mm`` is how far, infinite where nothing would show it, however large.
    """

    size: str
    mark: str
    photo: str
    effect_mm: float


@dataclass(frozen=True)
class PhotoFit:
    """One photo after the adjustment: focal length, what its prior was, residuals per card.

    ``card_rms_px`` is the root mean square per axis, by serial.
    """

    f_px: float
    source: str
    card_rms_px: dict[int, float]


class WallMeasurement:
    """A wall's photos, adjusted once; sizes and points on demand.

    Attributes
    ----------
    used_photos
        Indices of the request's photos that take part.
    not_tied
        Indices of photos that could be read but are tied to nothing else.
    set_aside
        Marks and card corners that the rest contradicts.
    other_walls
        For each photo the serials of cards that hang on another wall.
    repeated
        For each photo that is another one over again, that one.
    sizes
        The sizes that the photos determine.
    """

    def __init__(
        self,
        request: WallRequest,
        built: Built,
        vetted: Vetted,
        not_tied: list[int],
        other_walls: tuple[frozenset[int], ...],
        repeated: Mapping[int, int],
    ) -> None:
        adjustment = vetted.adjustment
        self.request = request
        self.built = built
        self.used_photos = built.photos
        self.not_tied = tuple(not_tied)
        self.set_aside = vetted.findings
        self.other_walls = other_walls
        self.repeated = repeated
        self._adjustment = adjustment
        self.sizes = tuple(
            _size(wanted, built.marks) for wanted in request.sizes if self._is_tied(wanted)
        )
        self._by_name = {size.name: size for size in self.sizes}
        _refuse_short_lines(self, adjustment.photo.mark_points()[0])

    @property
    def datum(self) -> str:
        """``level`` or the name of the datum sheet."""
        return "level" if self._adjustment.level is not None else self.built.sheets.datum_name

    def estimates(self, tapes: Sequence[TapedSize] = ()) -> SizeEstimates:
        """Sizes as the photos alone see them, linearised where ``tapes`` put the solution."""
        return self._adjustment.estimates(self.sizes, self._tapes(tapes))

    def solve(self, tapes: Sequence[TapedSize] = ()) -> WallSolution:
        """The adjustment with ``tapes``."""
        return self._adjustment.solve(self._tapes(tapes))

    def points(self, solution: WallSolution) -> list[WallPoint]:
        """All marks in the frame of the level line, else of the datum sheet."""
        points, covariance = solution.mark_points()
        if self._adjustment.level is not None:
            points, covariance = to_level_frame(points, covariance, self._adjustment.level)
        seen = self.built.network.sightings
        marks = seen.point[seen.sheet < 0]
        return [
            WallPoint(
                name,
                points[i],
                covariance[3 * i : 3 * i + 3, 3 * i : 3 * i + 3],
                int(np.count_nonzero(marks == i)),
            )
            for name, i in self.built.marks.items()
        ]

    def lines(self, solution: WallSolution) -> list[WallLine]:
        """All straight lines in the frame of the level line, else of the datum sheet."""
        return [adjusted_line(solution, line) for line in range(len(solution.network.lines))]

    def photo_fit(self, solution: WallSolution, photo: int) -> PhotoFit | None:
        """How one of the request's photos fits; None if it takes no part."""
        if photo not in self.used_photos:
            return None
        shot = self.used_photos.index(photo)
        seen = self.built.network.sightings
        squares = solution.image_residuals_px**2
        rms = {
            serial: float(np.sqrt(np.mean(squares[rows])))
            for serial, sheet in self.built.sheets.card_index.items()
            if np.any(rows := (seen.shot == shot) & np.isin(seen.sheet, self._alike(sheet)))
        }
        lens = self.built.network.shots[shot].lens
        constants = solution.problem.views.constants(solution.state)
        return PhotoFit(
            f_px=float(constants[shot, 0]),
            source=self.built.network.lenses[lens].source,
            card_rms_px=rms,
        )

    def profile_disagrees(self, photo: int) -> bool:
        """Whether a photo's lens has a profile that the wall's photos contradict."""
        shot = self.built.network.shots[self.used_photos.index(photo)]
        if any(found.kind == "lens" and found.thing == shot.lens for found in self.set_aside):
            return self.built.spare_lenses[shot.lens] is not None
        if self.built.network.lenses[shot.lens].source != "profile":
            return False
        return self._adjustment.photo.prior_departure(shot.lens) > PROFILE_DEPARTURE

    def what_helps(self) -> list[Candidate]:
        """What to do before leaving the room, the most helpful first."""
        return what_helps(self._adjustment, self.sizes)

    def unseen_slips(self) -> list[UnseenSlip]:
        """For each size the slip in a mark, of one of its own or another, that could harm it most.

        A slip is taken as found when the adjustment would name it four times in five.
        """
        network = self.built.network
        rows, effects = slip_effects(self._adjustment.photo, self.sizes)
        found = []
        for at, size in enumerate(self.sizes):
            worst = int(np.argmax(effects[:, at]))
            row = int(rows[worst])
            mark = network.marks[int(network.sightings.point[row])].name
            photo = network.shots[int(network.sightings.shot[row])].name
            found.append(UnseenSlip(size.name, mark, photo, float(effects[worst, at])))
        return found

    def photos_of(self, finding: SetAside) -> tuple[int, ...]:
        """Indices of the request's photos that a finding is about."""
        return tuple(self.used_photos[shot] for shot in finding.shots)

    def name_of(self, finding: SetAside) -> str:
        """The mark, sheet or line that a finding is about."""
        network = self.built.network
        if finding.kind in (
            "corner",
            "uneven",
            "edge-point",
            "off-wall",
            "tilted",
            "moved",
            "other-print",
        ):
            return network.sheets[finding.thing].name
        if finding.kind in ("line-point", "direction", "bent"):
            return network.lines[finding.thing].name
        if finding.kind == "lens":
            return network.lenses[finding.thing].name
        if finding.kind == "exposure":
            return network.shots[finding.thing].name
        if finding.kind == "print":
            return network.scale_groups[finding.thing].name
        return network.marks[finding.thing].name

    def _is_level_exchanged(self) -> bool:
        """Whether nothing tells which way the level line runs."""
        marks = {self.built.marks.get(name) for name in self.request.level or ()}
        doubtful = [f for f in self.set_aside if f.kind == "exchanged" and len(f.shots) > 1]
        return any(marks & set(found.marks) for found in doubtful)

    def _alike(self, sheet: int) -> list[int]:
        """A sheet with what it became in a photo in which it hangs elsewhere."""
        sheets = self.built.network.sheets
        return [i for i, other in enumerate(sheets) if other.name == sheets[sheet].name]

    def _tapes(self, tapes: Sequence[TapedSize]) -> list[Tape]:
        return [Tape(self._by_name[t.name], t.value_mm, t.u_mm) for t in tapes]

    def _is_tied(self, wanted: SizeRequest) -> bool:
        """All its marks seen, and their places carried over from one and the same sheet."""
        needed = list(wanted.marks)
        if wanted.kind in ("dx", "dy") and self.request.level is not None:
            if self._is_level_exchanged():
                return False
            needed += self.request.level
        roots = self._adjustment.start.mark_roots
        places = {roots.get(self.built.marks.get(name, -1)) for name in needed}
        return len(places) == 1 and None not in places


def measure_wall(request: WallRequest, sights: Sequence[Sight]) -> WallMeasurement:
    """Adjust a wall from what its photos show.

    Raises
    ------
    Refusal
        ``no-card``, ``datum-card-not-found``, ``duplicate-serial``, ``not-observable``,
        ``line-too-short``.
    """
    repeated = repeated_sights(sights)
    request = with_marks_joined(request, repeated, sights)
    own = keep_own_wall(request, sights)
    sights = own.sights
    use = [i for i, s in enumerate(sights) if s.header is not None and i not in repeated]
    not_tied: list[int] = []
    while True:
        built = build_network(request, sights, use)
        adjustment = _adjust(request, built)
        start = adjustment.start
        if start.clashing_sheets:
            serials = {index: serial for serial, index in built.sheets.card_index.items()}
            clash = start.clashing_sheets[0]
            if clash in serials:
                raise refuse_twice(serials[clash], _showing(request, sights, serials[clash]))
            raise _not_observable()
        if not start.unplaced_shots:
            vetted = _vetted(adjustment, built)
            built = replace(built, network=vetted.adjustment.network)
            return WallMeasurement(request, built, vetted, not_tied, own.left_out, repeated)
        dropped = [use[shot] for shot in start.unplaced_shots]
        not_tied += dropped
        use = [i for i in use if i not in dropped]


def _showing(request: WallRequest, sights: Sequence[Sight], serial: int) -> list[str]:
    pairs = zip(request.photos, sights, strict=True)
    return [p.name for p, sight in pairs if any(card.serial == serial for card in sight.cards)]


def _adjust(request: WallRequest, built: Built) -> WallAdjustment:
    level = line_marks(request.level, built.marks)
    try:
        return WallAdjustment(built.network, level, built.starts_log_f())
    except NotObservable as error:
        raise _not_observable() from error


def _vetted(adjustment: WallAdjustment, built: Built) -> Vetted:
    try:
        calmer, gross = set_gross_aside(adjustment)
        vetted = vet(calmer, built.spare_lenses)
        vetted = replace(vetted, adjustment=_ended(vetted.adjustment))
        return replace(vetted, findings=(*gross, *vetted.findings))
    except NotObservable as error:
        raise _not_observable(_CONTRADICT) from error


def _ended(adjustment: WallAdjustment) -> WallAdjustment:
    """The adjustment with its search at an end; where it still falls, it found no wall."""
    ended = adjustment.followed()
    if not ended.photo.minimum.converged:
        further = ended.revised(ended.network, ())
        if ended.photo.minimum.cost - further.photo.minimum.cost > STILL_FALLING:
            raise NotObservable
    return ended


def _not_observable(why: tuple[str, str] = _TOO_FEW) -> Refusal:
    return Refusal("not-observable", *why)


def _size(wanted: SizeRequest, marks: dict[str, int]) -> Size:
    if wanted.kind == "to_line":
        first, second = wanted.line or ("", "")
        return Size(
            wanted.name, wanted.kind, marks[wanted.start], line=(marks[first], marks[second])
        )
    return Size(wanted.name, wanted.kind, marks[wanted.start], end=marks[wanted.end or ""])


def _refuse_short_lines(wall: WallMeasurement, points: FloatArray) -> None:
    names = {index: name for name, index in wall.built.marks.items()}
    lines = [size.line for size in wall.sizes if size.kind == "to_line"]
    level = line_marks(wall.request.level, wall.built.marks)
    for first, second in lines + ([level] if level else []):
        if np.linalg.norm(points[second, :2] - points[first, :2]) < SHORTEST_LINE_MM:
            raise Refusal(
                "line-too-short",
                f"The marks {names[first]!r} and {names[second]!r} lie on one another, so they "
                "give no line.",
                "Mark two points of the line that are far apart.",
            )
