/**
 * From a panel's own frame to its wall's: x from the panel's reference vertical, y down from the finished
 * top; on end walls x runs into the alcove corner. The plumb line and the level line are in both frames.
 */

/** @typedef {import('../types.js').Point} Point */

/**
 * @typedef {object} PanelPlace
 * @property {(panel: Point) => Point} toWall mm, or its mirror image about the panel's middle
 * @property {Point[]} outline in the wall's frame
 */

/**
 * @param {any} panel a row of panels.json
 * @param {Point} plumb a point of the wall's plumb line, in the wall's frame
 * @param {import('../types.js').Box | null} mirrored the box to mirror in, seen from behind
 * @returns {PanelPlace}
 */
export function placePanel(panel, plumb, mirrored) {
  const way = panel.hand === 'right' ? -1 : 1;
  const front = (/** @type {Point} */ { x, y }) => ({
    x: plumb.x + way * (x - panel.plumb_x_mm),
    y: panel.level_y_mm - y,
  });
  const toWall = (/** @type {Point} */ point) => {
    const there = front(point);
    return mirrored ? { x: mirrored.left + mirrored.right - there.x, y: there.y } : there;
  };
  return {
    toWall,
    outline: panel.outline_mm.map((/** @type {[number, number]} */ [x, y]) => toWall({ x, y })),
  };
}
