"""The customer's estimate: what is done, what it costs, what is not yet known."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Final

from service.documents.elevation import alcove_elevation
from service.documents.line_styles import BLUISH_GREEN, VERMILLION
from service.documents.pdf.faces import BOLD
from service.documents.pdf.number_column import Heading, Row, Words, draw_rows, split_rows
from service.documents.pdf.paper import Area, PaperStack, fitted, text_width_mm, wrapped
from service.documents.pdf.picture import Picture
from service.documents.release_words import plan_override_lines
from service.documents.wording import NOT_FOR_CUTTING, customer_cautions, inches
from service.product import NAME

if TYPE_CHECKING:
    from decimal import Decimal

    from service.documents.wording import DocumentMeta
    from service.panels.model import Plan, Price, PriceLine

_LEFT_MM: Final = 18.0
_RIGHT_MM: Final = 14.0
_TOP_MM: Final = 12.0
_BOTTOM_MM: Final = 18.0
_LABEL_MM: Final = 54.0
_PICTURE_MM: Final = 150.0
_JOB_LINES: Final = 3
_BULLET_MM: Final = 6.0
_CHECKED: Final = "taped and checked"

UNSEEN: Final = (
    (
        "soft or wet wall",
        {"soft", "wet"},
        "Work stops, you see a photo and a unit price, and you sign first.",
    ),
    (
        "depth of the old tile",
        {"depth", "mud-set"},
        "Thicker beds mean more packing and deeper returns.",
    ),
    (
        "valve and pipes",
        {"valve", "pipe", "pipes"},
        "What is behind the wall is only known once it is open.",
    ),
    (
        "tub flange",
        {"flange"},
        "A flange hidden by tile can change how the sheet lands.",
    ),
    (
        "permit and inspection",
        {"permit", "inspection"},
        "Fees and waiting times of the local authority.",
    ),
)
"""What no survey of a tiled alcove can see (common practice), the words that tell a priced
allowance for it, and what it means for the customer."""

CAUTIONS: Final = (
    "Breaking tile makes silica dust (29 CFR 1926.1153): the work area is closed off and"
    " ventilated. Solvents are flammable: follow their safety data sheets.",
    "A home built before 1978 may hold lead paint (EPA Renovation, Repair and Painting rule).",
    "Asbestos can be found in homes of any age and may need its own survey; licensed firms deal"
    " with it where it is found.",
    "Plumbing and electrical work by licensed trades where the rules say so. Local codes and the"
    " sheet maker's written instructions govern.",
    "A size from a photo is an estimate. Nothing is cut before it is taped and checked.",
)


def estimate_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """The estimate for the customer; the same plan and meta give the same bytes."""
    page = PaperStack(meta.paper, f"{NAME}: estimate, {plan.job}")
    free = Area(
        _LEFT_MM,
        _BOTTOM_MM,
        page.width_mm - _LEFT_MM - _RIGHT_MM,
        page.height_mm - _TOP_MM - _BOTTOM_MM,
    )
    pages: list[tuple[Row, ...]] = []
    rows, told = _rows(plan, meta), _let_stand(plan)
    while rows:
        head = told if pages else ()
        taken, left = split_rows((*head, *rows), free.width, free.height)
        if len(taken) <= len(head):  # so many are told that nothing else has room beside them
            taken, left = split_rows(rows, free.width, free.height)
        rows = left
        pages.append(taken)
    for number, taken in enumerate(pages, 1):
        draw_rows(page, taken, free)
        _foot(page, plan, meta, free, f"page {number} of {len(pages)}")
        page.next_page()
    return page.finished()


def _rows(plan: Plan, meta: DocumentMeta) -> tuple[Row, ...]:
    told = _let_stand(plan)
    rows: list[Row] = [_Head(plan, meta), _Total(plan.price, let_stand=bool(told)), *told]
    rows.append(Heading("WHAT IS IN THE PRICE"))
    sure = [line for line in plan.price.lines if not _may_not_be_needed(line)]
    rows += [_amount(line, plan) for line in sure]
    if plan.price.unpriced:
        rows.append(Words("Not in the price", ", ".join(plan.price.unpriced), _LABEL_MM))
    rows += _panel_rows(plan)
    rows += _estimated_rows(plan)
    rows += _unseen_rows(plan)
    rows += _change_rows(plan, meta)
    notes = customer_cautions(plan)
    if notes:
        rows.append(Heading("PLEASE NOTE"))
        rows += [Words("•", words, _BULLET_MM) for words in notes]
    rows.append(Heading("SAFETY"))
    rows += [Words("•", caution, _BULLET_MM) for caution in CAUTIONS]
    rows += [
        Heading("HOW IT WILL LOOK"),
        Picture(partial(alcove_elevation, plan.panels), _PICTURE_MM),
    ]
    rows += [Heading("AGREEMENT"), _Signatures(plan.price)]
    return tuple(rows)


def _let_stand(plan: Plan) -> tuple[Row, ...]:
    """What somebody let stand, for the head of every page."""
    told = plan_override_lines(plan)
    if not told:
        return ()
    heading = Heading("LET STAND AGAINST THE OTHER MEASUREMENTS")
    return (heading, *(Words("•", words, _BULLET_MM) for words in told))


def _panel_rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("THE PANELS")]
    for panel in plan.panels:
        about = "" if panel.released else "about "
        box = f"{about}{inches(panel.box.width)} x {about}{inches(panel.box.height)}"
        sheet = f", cut from one sheet {panel.sheet.name}" if panel.sheet else ""
        rows.append(Words(panel.title, f"{box}{sheet}", _LABEL_MM))
    return rows


def _estimated_rows(plan: Plan) -> list[Row]:
    waiting = [panel for panel in plan.panels if not panel.released]
    if not waiting:
        return []
    rows: list[Row] = [Heading("WHAT IS STILL AN ESTIMATE: these sizes are to be taped")]
    for panel in waiting:
        count = len(panel.why_not)
        sizes = f"{count} sizes are" if count > 1 else "one size is"
        rows.append(Words(panel.title, f"{sizes} still to be taped and checked", _LABEL_MM))
    return rows


def _unseen_rows(plan: Plan) -> list[Row]:
    """Allowances of the plan first; then what it has no figure for."""
    rows: list[Row] = [Heading("WHAT CANNOT BE SEEN YET")]
    for line in plan.price.lines:
        if _may_not_be_needed(line):
            rows.append(_amount(line, plan))
    priced = {
        word
        for line in plan.price.lines
        if _may_not_be_needed(line)
        for word in line.item.lower().split()
    }
    for item, telling, words in UNSEEN:
        if not priced & telling:
            rows.append(Words(item, f"{words} Not in the price.", _LABEL_MM))
    return rows


def _change_rows(plan: Plan, meta: DocumentMeta) -> list[Row]:
    """Changes that are offered, and how long the price holds."""
    rows: list[Row] = []
    if plan.price.offered:
        rows.append(Heading("CHANGES OFFERED: in the price only once you sign them"))
        rows += [_Amount(c.item, money(c.high, plan.price.currency), c.why)
                 for c in plan.price.offered]  # fmt: skip
    rows.append(Heading("HOW FIRM THE PRICE IS"))
    if plan.price.figure is None and plan.price.drivers:
        widest = ", ".join(line.partition(":")[0] for line in plan.price.drivers[:3])
        rows.append(Words("What the range hangs on", widest, _LABEL_MM))
    days = f"{plan.price.valid_days} days from {meta.date}"
    rows.append(Words("This price holds", days, _LABEL_MM))
    return rows


def _may_not_be_needed(line: PriceLine) -> bool:
    """An allowance: nothing if the fault is not there."""
    return line.low == 0 < line.high


def _amount(line: PriceLine, plan: Plan) -> _Amount:
    currency = plan.price.currency
    high = money(line.high, currency)
    item = _item_words(line.item, plan)
    if line.low == line.high:
        each = money(line.unit_price, currency)
        whole = line.quantity > 1 and line.quantity * line.unit_price == line.high
        return _Amount(item, high, f"{line.quantity} at {each}; {line.why}" if whole else line.why)
    if line.low == 0:
        return _Amount(item, f"if needed, up to {high}", line.why)
    return _Amount(item, f"{money(line.low, currency)} to {high}", line.why)


def _item_words(item: str, plan: Plan) -> str:
    """A sheet is named with its hand and what it is for; anything else as the price has it."""
    for order in plan.order:
        if order.sheet == item:
            hand = "" if order.hand == "none" else f", {order.hand} hand"
            return f"sheet {item}{hand}"
    return item


def _price_words(price: Price) -> str:
    """The figure, or the range while there is none."""
    if price.figure is not None:
        return money(price.figure, price.currency)
    return f"{money(price.low, price.currency)} to {money(price.high, price.currency)}"


def money(amount: Decimal, currency: str) -> str:
    """An amount as it is printed: two decimals, thousands apart."""
    return f"{currency} {amount:,.2f}"


@dataclass(frozen=True)
class _Head:
    plan: Plan
    meta: DocumentMeta

    def height_mm(self, width_mm: float) -> float:
        return 20.0 + 4.6 * max(0, len(self._job_lines(width_mm)) - 1)

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        page.text(left, top - 7, "Estimate" if self._open else "Price", 22, bold=True)
        stamp = f"revision {self.meta.revision} · {self.meta.date}"
        page.text(left + width, top - 5, stamp, 10, across="right")
        scope = f"scope: {self.plan.scope}"
        page.text(left + width, top - 10, scope, 10, across="right")
        for row, line in enumerate(self._job_lines(width)):
            page.text(left, top - 15 - row * 5, line, 12, bold=True)

    def _job_lines(self, width_mm: float) -> list[str]:
        lines = wrapped(self.plan.job, width_mm, 12, BOLD)
        if len(lines) > _JOB_LINES:  # the last one is cut where it can be seen
            last = " ".join(lines[_JOB_LINES - 1 :])
            return [*lines[: _JOB_LINES - 1], fitted(last, width_mm, 12, BOLD)]
        return lines

    @property
    def _open(self) -> bool:
        return self.plan.price.figure is None


@dataclass(frozen=True)
class _Total:
    """The figure or the range, in a frame with a shape that says which."""

    price: Price
    let_stand: bool = False

    def height_mm(self, width_mm: float) -> float:  # noqa: ARG002  # one of a family of rows
        return 27.0

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        price, firm = self.price, self.price.figure is not None
        colour = BLUISH_GREEN if firm else VERMILLION
        page.box(Area(left, top - 25, width, 24), 1.0, colour)
        x, y = left + 6, top - 20
        if price.figure is not None:
            page.polyline([(x, y + 6), (x + 4, y + 1), (x + 12, y + 13)], 1.4, colour)
            proved = "taped, and checked or let stand as told" if self.let_stand else _CHECKED
            below = f"Every size is {proved}. The figure is for what is listed here."
        else:
            page.polygon([(x, y), (x + 14, y), (x + 7, y + 12.5)], 1.2, colour)
            page.text(x + 7, y + 1.8, "!", 20, bold=True, across="middle")
            below = "A range, not a binding price: some sizes are still estimates."
        page.text(left + 26, top - 12, _price_words(price), 19, bold=True)
        page.text(left + 26, top - 19.5, fitted(below, width - 30, 9.5), 9.5)


@dataclass(frozen=True)
class _Amount:
    """One line of the price."""

    item: str
    amount: str
    why: str

    def height_mm(self, width_mm: float) -> float:
        return 2.2 + 4.0 * max(len(self._item_lines(width_mm)), len(self._why_lines(width_mm)))

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        for row, line in enumerate(self._item_lines(width)):
            page.text(left, top - 4.2 - row * 4.0, line, 10)
        for row, line in enumerate(self._why_lines(width)):
            page.text(left + 0.33 * width, top - 4.2 - row * 4.0, line, 8.5)
        page.text(left + width, top - 4.2, self.amount, 10, bold=True, across="right")
        low = top - self.height_mm(width) + 0.2
        page.line(left, low, left + width, low, 0.13)

    def _item_lines(self, width_mm: float) -> list[str]:
        return wrapped(self.item, 0.32 * width_mm, 10) or [""]

    def _why_lines(self, width_mm: float) -> list[str]:
        return wrapped(self.why, 0.34 * width_mm, 8.5)


@dataclass(frozen=True)
class _Signatures:
    """What is signed is said over it: the page may be the only one that is kept at hand."""

    price: Price

    def height_mm(self, width_mm: float) -> float:  # noqa: ARG002  # one of a family of rows
        return 30.0

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        what = "the price" if self.price.figure is not None else "a range, not a binding price"
        page.text(left, top - 5, f"{_price_words(self.price)}: {what}.", 9, bold=True)
        words = (
            "The signed paper, with all its pages, is the agreement. Changes are agreed in writing"
        )
        page.text(left, top - 9.5, f"{words} before they are made.", 9)
        half = (width - 10) / 2
        for x, who in ((left, "customer"), (left + half + 10, "for the shop")):
            page.line(x, top - 23, x + half, top - 23, 0.35)
            page.text(x, top - 27, f"{who}: name, signature, date", 8.5)


def _foot(page: PaperStack, plan: Plan, meta: DocumentMeta, free: Area, number: str) -> None:
    """Whose estimate, which revision, and what it is not: a page may be shown by itself."""
    stamp = f" · revision {meta.revision} · {meta.date}"
    state = "" if plan.released else f"{NOT_FOR_CUTTING} · "
    room = free.width - text_width_mm(state + stamp, 8, BOLD)
    page.line(free.left, free.bottom - 2.5, free.right, free.bottom - 2.5, 0.18)
    whose = f"{state}{fitted(plan.job, room, 8, BOLD)}{stamp}"
    page.text(free.left, free.bottom - 6, whose, 8, bold=True)
    code = f" · plan {meta.fingerprint}" if meta.fingerprint else ""
    version = f", version {plan.price.book_version}" if plan.price.book_version else ""
    book = f"{plan.price.book}{version}"
    words = f"{NAME} · prices: {book} · practice: {plan.practice}{code}"
    page.text(free.left, free.bottom - 9.6, fitted(words, free.width - 30, 8), 8)
    page.text(free.right, free.bottom - 9.6, number, 8, across="right")
