"""How long a full alcove takes to plan, its documents to make, and how many a second in a batch.

Run as ``python -m tests.bench.bench_panels``. The alcove is the one worked by hand, with pattern,
stock and prices; the batch is the same room with its readings moved a little each time, so that no
two are alike. Figures are processor time, which does not depend on what else the machine does.
"""

from __future__ import annotations

import random
import statistics
import time
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from service.actions.plan.documents import document_makers
from service.files.price_book import read_price_book
from service.panels.plan import plan_panels
from service.panels.walls import StockSheet
from tests.panels.test_chance import uncertain
from tests.panels.worked_alcove import FOLDER, worked_alcove, worked_plan, worked_practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.price import PriceBook
    from service.panels.walls import Alcove, Station

PLAN_LIMIT_MS, DOCUMENTS_LIMIT_MS, BATCH_LIMIT = 40.0, 600.0, 20.0
RUNS, BATCH = 20, 1000


def book() -> PriceBook:
    """The price book beside the worked alcove."""
    return read_price_book((FOLDER / "worked_alcove_prices.csv").read_text(), "prices.csv")


def milliseconds_per_plan(runs: int = RUNS) -> float:
    """Median processor time of one plan, ms."""
    alcove, shop, prices = worked_alcove(), worked_practice(), book()
    return _median_ms(lambda: plan_panels(alcove, shop, prices), runs)


def milliseconds_uncertain(u_mm: float = 12.0, runs: int = RUNS) -> float:
    """Median processor time of one plan whose chances must be drawn, ms.

    Every reading is this uncertain, as by one bad photo, and the pattern may stand anywhere.
    """
    shop, prices = worked_practice(), book()
    alcove = uncertain(worked_alcove(), u_mm)
    if alcove.pattern is not None:
        alcove = replace(alcove, pattern=replace(alcove.pattern, centre="free"))
    return _median_ms(lambda: plan_panels(alcove, shop, prices), runs)


def milliseconds_per_documents(runs: int = 5) -> float:
    """Median processor time of every document of one plan, ms."""
    plan = worked_plan()

    def all_documents() -> None:
        for make in document_makers(plan, "A", "2026-01-01", "letter").values():
            make()

    return _median_ms(all_documents, runs)


def _median_ms(act: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        start = time.process_time()
        act()
        times.append(time.process_time() - start)
    return statistics.median(times) * 1000


def alcoves_a_second(number: int = BATCH) -> float:
    """Plans a second of processor time over a batch of rooms."""
    rng, shop, prices = random.Random(31), worked_practice(), book()
    rooms = [moved(worked_alcove(), rng) for _ in range(number)]
    start = time.process_time()
    for room in rooms:
        plan_panels(room, shop, prices)
    return number / (time.process_time() - start)


def saved_by_grouping(number: int = 200) -> tuple[float, float]:
    """Share of rooms where a sheet is shared, and cost of all sheets over one sheet a panel.

    Plain sheets, with one wide sheet that has both side edges added to the stock.
    """
    rng, shop = random.Random(32), worked_practice()
    both = StockSheet("62 1/2 x 96", 62.5 * 25.4, 96 * 25.4, ("top", "left", "right"), Decimal(520))
    base = replace(worked_alcove(), pattern=None)
    shared, grouped, alone = 0, Decimal(0), Decimal(0)
    for _ in range(number):
        room = moved(base, rng)
        plan = plan_panels(replace(room, stock=(*room.stock, both)), shop)
        single = plan_panels(room, shop)
        shared += any(len(cut.pieces) > 1 for cut in plan.cutting.sheets) if plan.cutting else 0
        grouped += sum((line.quantity * (line.price or 0) for line in plan.order), Decimal(0))
        alone += sum((line.quantity * (line.price or 0) for line in single.order), Decimal(0))
    return shared / number, float(grouped / alone)


def moved(alcove: Alcove, rng: random.Random) -> Alcove:
    """The same room with every reading moved by up to 1/8 in."""

    def stations(found: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(
            replace(s, value=replace(s.value, mm=s.value.mm + rng.uniform(-3.175, 3.175)))
            for s in found
        )

    walls = tuple(
        replace(
            w, left=stations(w.left), right=stations(w.right), line_to_deck=stations(w.line_to_deck)
        )
        for w in alcove.walls
    )
    return replace(alcove, walls=walls)


if __name__ == "__main__":
    print(f"full alcove planned in {milliseconds_per_plan():.1f} ms (limit {PLAN_LIMIT_MS} ms)")
    print(f"the same, drawn chances: {milliseconds_uncertain():.1f} ms (limit {PLAN_LIMIT_MS} ms)")
    print(f"documents in {milliseconds_per_documents():.0f} ms (limit {DOCUMENTS_LIMIT_MS} ms)")
    share, cost = saved_by_grouping()
    print(f"sheets shared in {share:.0%} of rooms, at {cost:.1%} of one sheet a panel")
    print(f"batch of {BATCH}: {alcoves_a_second():.0f} a second (limit {BATCH_LIMIT})")
