"""A plan as the rows of panels.json."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.files import panels as file
from service.files import panels_release as sheet
from service.files import panels_room as room

if TYPE_CHECKING:
    from service.panels import model


def panels_file(plan: model.Plan) -> file.PanelsFile:
    """Everything in the plan, exact beside as printed."""
    opening = plan.finished_opening
    return file.PanelsFile(
        job=plan.job,
        scope=plan.scope,
        practice=plan.practice,
        released=plan.released,
        panels=tuple(_panel(panel) for panel in plan.panels),
        backers=tuple(
            file.BackerRow(corner=b.corner, length_mm=b.length.mm, length=b.length.text)
            for b in plan.backers
        ),
        trims=tuple(
            file.TrimRow(
                wall=t.wall,
                edge=t.edge,
                kind=t.kind,
                length_mm=t.length.mm,
                length=t.length.text,
                why=t.why,
                ends=t.ends,
            )
            for t in plan.trims
        ),
        takeoff=tuple(
            file.TakeoffRow(
                item=line.item,
                net=line.net,
                gross=line.gross,
                unit=line.unit,
                packages=line.packages,
                package=line.package,
                why=line.why,
                sundry=line.sundry,
            )
            for line in plan.takeoff
        ),
        order=tuple(_order(line) for line in plan.order),
        price=_price(plan.price),
        warnings=tuple(
            file.WarningRow(code=w.code, text=w.text, wall=w.wall, do=w.do) for w in plan.warnings
        ),
        changed_allowances=plan.changed_allowances,
        finished_opening_mm=None if opening is None else opening.mm,
        cutting=None if plan.cutting is None else room.CuttingRow.model_validate(plan.cutting),
        top=None if plan.top is None else room.TopRow.model_validate(plan.top),
        layout=None if plan.layout is None else room.LayoutRow.model_validate(plan.layout),
        corners=tuple(room.CornerRow.model_validate(c) for c in plan.corners),
        ends=tuple(room.EndRow.model_validate(e) for e in plan.ends),
        flatness=tuple(room.FlatSpotRow.model_validate(s) for s in plan.flatness),
        blocking=tuple(room.BlockingRow.model_validate(b) for b in plan.blocking),
        way_in=tuple(room.WayInRow.model_validate(w) for w in plan.way_in),
        openings=tuple(room.OpeningRow.model_validate(o) for o in plan.openings),
    )


def _panel(panel: model.Panel) -> file.PanelRow:
    return file.PanelRow(
        wall=panel.wall,
        hand=panel.hand,
        released=panel.released,
        why_not=panel.why_not,
        outline_mm=panel.outline_mm,
        plumb_x_mm=panel.plumb_x_mm,
        level_y_mm=panel.level_y_mm,
        marks=tuple(_mark(mark) for mark in panel.marks),
        widths=tuple(
            file.WidthRow(
                down_mm=w.down.mm, down=w.down.text, width_mm=w.value.mm, width=w.value.text
            )
            for w in panel.widths
        ),
        cutouts=tuple(_cutout(hole) for hole in panel.cutouts),
        return_=tuple(
            file.ReturnRow(edge=r.edge, depth_mm=r.depth.mm, depth=r.depth.text, why=r.why)
            for r in panel.returns
        ),
        box=file.BoxRow(
            width_mm=panel.box.width.mm,
            width=panel.box.width.text,
            height_mm=panel.box.height.mm,
            height=panel.box.height.text,
        ),
        area_mm2=panel.area_mm2,
        sheet=None if panel.sheet is None else _sheet(panel.sheet),
        pattern=None if panel.pattern is None else _pattern(panel.pattern),
        notes=panel.notes,
        windows=tuple(room.WindowRow.model_validate(w) for w in panel.windows),
        scribe=None if panel.scribe is None else room.ScribeRow.model_validate(panel.scribe),
        seam=None if panel.seam is None else room.SeamRow.model_validate(panel.seam),
        seams=tuple(room.SeamRow.model_validate(seam) for seam in panel.seams),
        sizes=tuple(sheet.SheetSizeRow.model_validate(size) for size in panel.sizes),
        release=None
        if panel.release is None
        else sheet.SheetReleaseRow.model_validate(panel.release),
        notches=tuple(room.NotchRow.model_validate(n) for n in panel.notches),
        top=panel.top,
    )


def _mark(mark: model.Mark) -> file.MarkRow:
    return file.MarkRow(
        order=mark.order,
        edge=mark.edge,
        station_mm=mark.station.mm,
        station=mark.station.text,
        value_mm=mark.value.mm,
        value=mark.value.text,
        at_mm=mark.at_mm,
        how=mark.how,
    )


def _cutout(hole: model.Cutout) -> file.CutoutRow:
    return file.CutoutRow(
        name=hole.name,
        at_mm=hole.at_mm,
        diameter_mm=hole.diameter_mm,
        diameter=hole.diameter.text,
        saw=hole.saw,
        from_side=hole.from_side.text,
        from_top=hole.from_top.text,
        max_diameter_mm=_mm(hole.max_diameter),
        valve_datum_mm=_mm(hole.valve_datum),
        nipple_out_mm=_mm(hole.nipple_out),
        notes=hole.notes,
    )


def _mm(size: model.Size | None) -> float | None:
    return None if size is None else size.mm


def _sheet(sheet: model.SheetChoice) -> file.SheetRow:
    return file.SheetRow(
        name=sheet.name,
        width_mm=sheet.width.mm,
        height_mm=sheet.height.mm,
        finished=sheet.finished,
        hand=sheet.hand,
        spare_width_mm=sheet.spare_width.mm,
        spare_height_mm=sheet.spare_height.mm,
        drop_mm=sheet.drop.mm,
        chance=sheet.chance,
        chance_fits=sheet.chance_fits,
        shared=sheet.shared,
        others=tuple(room.OtherSheetRow.model_validate(o) for o in sheet.others),
        price=sheet.price,
    )


def _pattern(pattern: model.PanelPattern) -> file.PatternRow:
    return file.PatternRow(
        tile=(pattern.tile[0].text, pattern.tile[1].text),
        joint_mm=pattern.joint_mm,
        joint_heights_mm=tuple(size.mm for size in pattern.course_joints),
        joint_heights=tuple(size.text for size in pattern.course_joints),
        column_joints_mm=tuple(size.mm for size in pattern.column_joints),
        column_joints=tuple(size.text for size in pattern.column_joints),
        offset_mm=pattern.offset.mm,
        offset=pattern.offset.text,
        cuts=tuple(_cut(cut) for cut in pattern.cuts),
        bottom_courses=tuple(_cut(cut) for cut in pattern.bottom_courses),
        notes=pattern.notes,
        other_columns_mm=tuple(size.mm for size in pattern.other_columns),
        imbalance_mm=_mm(pattern.imbalance),
        tried=pattern.tried,
    )


def _cut(cut: model.CutTile) -> file.CutTileRow:
    return file.CutTileRow(
        side=cut.side,
        down_mm=cut.down.mm,
        down=cut.down.text,
        width_mm=cut.width.mm,
        width=cut.width.text,
    )


def _order(line: model.OrderLine) -> file.OrderRow:
    return file.OrderRow(
        sheet=line.sheet,
        width=line.width.text,
        height=line.height.text,
        finished=line.finished,
        hand=line.hand,
        quantity=line.quantity,
        panels=line.panels,
        released=line.released,
        price=line.price,
    )


def _price(price: model.Price) -> file.PriceTable:
    return file.PriceTable(
        currency=price.currency,
        lines=tuple(
            file.PriceRow(
                item=line.item,
                quantity=line.quantity,
                unit_price=line.unit_price,
                low=line.low,
                high=line.high,
                why=line.why,
                kind=line.kind,
            )
            for line in price.lines
        ),
        low=price.low,
        high=price.high,
        figure=price.figure,
        unpriced=price.unpriced,
        book=price.book,
        book_version=price.book_version,
        cost_low=price.cost_low,
        cost_high=price.cost_high,
        drivers=price.drivers,
        offered=tuple(room.OfferedRow.model_validate(line) for line in price.offered),
        valid_days=price.valid_days,
    )
