/**
 * The photo by keyboard: arrows move the aim by one image pixel, with Shift by ten, with Control by a
 * hundred; plus and minus zoom, zero shows the whole photo, Enter sets the point.
 */

const STEP = 1;
const LONG_STEP = 10;
const LONGEST_STEP = 100;
const ZOOM = 1.5;

/** @type {Record<string, [number, number]>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {KeyboardEvent} event
 * @param {import('./viewer.js').PhotoViewer} viewer
 * @param {{set: () => void, aimed: () => void}} doing
 */
export function photoKey(event, viewer, doing) {
  const way = WAYS[event.key];
  if (way) {
    const longer = event.ctrlKey ? LONGEST_STEP : LONG_STEP;
    const step = event.shiftKey || event.ctrlKey ? longer : STEP;
    const { scale, centre } = viewer.view;
    viewer.show({ scale, centre: { x: centre.x + way[0] * step, y: centre.y + way[1] * step } });
    doing.aimed();
  } else if (event.key === '+' || event.key === '=') zoomBy(viewer, ZOOM);
  else if (event.key === '-') zoomBy(viewer, 1 / ZOOM);
  else if (event.key === '0') viewer.fit();
  else if (event.key === 'Enter') doing.set();
  else return;
  event.preventDefault();
}

/**
 * Zooms about the aim, within the viewer's limits.
 * @param {import('./viewer.js').PhotoViewer} viewer
 * @param {number} factor
 */
export function zoomBy(viewer, factor) {
  const { least, most } = viewer.limits;
  const { scale, centre } = viewer.view;
  viewer.show({ scale: Math.min(most, Math.max(least, scale * factor)), centre });
}
