/** Where a piece of writing touches none of what stands there already. Boxes in px, y down. */

/**
 * @typedef {object} Patch an upright rectangle on the screen
 * @property {number} left
 * @property {number} top
 * @property {number} right
 * @property {number} bottom
 */

const STEP = 8;
/** How far along the room a patch may begin, the likeliest first. */
const PARTS = [0, 0.5, 1, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875];

/**
 * The rectangle round a turned one.
 * @param {{x: number, y: number}} at its origin
 * @param {number} turn degrees clockwise
 * @param {Patch} own before it is turned, from its origin
 * @returns {Patch}
 */
export function turned(at, turn, own) {
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const corners = [own.left, own.right].flatMap((x) =>
    [own.top, own.bottom].map((y) => ({ x: at.x + x * cos - y * sin, y: at.y + x * sin + y * cos })),
  );
  const [xs, ys] = [corners.map(({ x }) => x), corners.map(({ y }) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

/**
 * Small patches along a line, so that one on the slant takes no more room than it has.
 * @param {{x: number, y: number}} from
 * @param {{x: number, y: number}} to
 * @param {number} half px to each side
 * @returns {Patch[]}
 */
export function along(from, to, half) {
  const count = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / STEP));
  return Array.from({ length: count + 1 }, (_, number) => {
    const x = from.x + ((to.x - from.x) * number) / count;
    const y = from.y + ((to.y - from.y) * number) / count;
    return { left: x - half, right: x + half, top: y - half, bottom: y + half };
  });
}

/**
 * The place for a patch of a size where it touches nothing that is there: within the first of some
 * rooms that has one, nearest to the middle of its left edge; else where it touches least.
 * @param {Patch[]} rooms
 * @param {{wide: number, high: number}} size
 * @param {Patch[]} taken
 * @returns {Patch}
 */
export function clearPlace(rooms, size, taken) {
  const places = rooms.flatMap((room) => placesIn(room, size));
  const touched = places.map((place) => taken.reduce((sum, other) => sum + overlap(place, other), 0));
  return places[touched.indexOf(Math.min(...touched))];
}

/** @param {Patch} room @param {{wide: number, high: number}} size */
function placesIn(room, { wide, high }) {
  const across = Math.max(0, room.right - room.left - wide);
  const down = Math.max(0, room.bottom - room.top - high);
  return PARTS.flatMap((part) =>
    steps(down).map((y) => {
      const [left, top] = [room.left + part * across, room.top + y];
      return { left, top, right: left + wide, bottom: top + high };
    }),
  );
}

/** From the middle outwards. @param {number} spare px @returns {number[]} */
function steps(spare) {
  const count = Math.floor(spare / STEP) + 1;
  const all = Array.from({ length: count }, (_, number) => (count === 1 ? spare / 2 : (spare * number) / (count - 1)));
  return all.sort((one, other) => Math.abs(one - spare / 2) - Math.abs(other - spare / 2));
}

/** @param {Patch} one @param {Patch} other px² */
function overlap(one, other) {
  const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
  const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
  return across > 0 && down > 0 ? across * down : 0;
}
