/** Places walls side by side as they meet in the room, level lines at one height, at one scale. */

/** @typedef {import('../types.js').Point} Point */
/** @typedef {import('../types.js').Box} Box */

/**
 * Maps a wall's millimetres to the drawing's pixels.
 * @typedef {object} Placing
 * @property {number} scale px per mm
 * @property {number} x of the wall's frame origin, px
 * @property {number} y of the level line, px
 */

/**
 * @param {Placing} placing
 * @param {Point} point mm, y up
 * @returns {Point} px, y down
 */
export function toScreen(placing, point) {
  return { x: placing.x + point.x * placing.scale, y: placing.y - point.y * placing.scale };
}

/**
 * @param {Box[]} boxes one a wall, left to right as seen from the room, mm
 * @param {number} width px that all of them may take
 * @param {{side: number, between: number, over: number, under: number, most: number}} room
 *   px left free beside, between, over and under the walls; most: px per mm at most
 * @returns {{placings: Placing[], height: number}}
 */
export function unfold(boxes, width, room) {
  const wide = boxes.reduce((sum, box) => sum + box.right - box.left, 0);
  const free = width - 2 * room.side - room.between * (boxes.length - 1);
  const scale = Math.min(room.most, free / Math.max(wide, 1));
  const top = Math.max(...boxes.map((box) => box.top));
  const bottom = Math.min(...boxes.map((box) => box.bottom));
  const y = room.over + top * scale;
  let edge = room.side + (free - wide * scale) / 2;
  const placings = boxes.map((box) => {
    const placing = { scale, x: edge - box.left * scale, y };
    edge += (box.right - box.left) * scale + room.between;
    return placing;
  });
  return { placings, height: y - bottom * scale + room.under };
}
