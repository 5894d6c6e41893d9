/** How large the wall's millimetres are in a photo, from points that are known in both. */

/** @typedef {import('../types.js').Pair} Pair */

/**
 * Millimetres of wall to a pixel between the two known points that lie farthest apart; null without two.
 * @param {Record<string, {at: Pair}>} inPhoto px
 * @param {Record<string, {x_mm: number, y_mm: number}>} onWall
 */
export function mmPerPixel(inPhoto, onWall) {
  const names = Object.keys(inPhoto).filter((name) => name in onWall);
  let [px, mm] = [0, 0];
  for (const [index, one] of names.entries())
    for (const other of names.slice(index + 1)) {
      const [a, b] = [inPhoto[one].at, inPhoto[other].at];
      const apart = Math.hypot(a[0] - b[0], a[1] - b[1]);
      if (apart <= px) continue;
      px = apart;
      mm = Math.hypot(onWall[one].x_mm - onWall[other].x_mm, onWall[one].y_mm - onWall[other].y_mm);
    }
  return px > 0 && mm > 0 ? mm / px : null;
}
