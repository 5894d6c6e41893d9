/**
 * The photo by keyboard: arrows move the aim by one image pixel, with Shift by ten, with Control by a
 * hundred; plus and minus zoom, zero shows the whole photo, Enter sets the point. Of what lies near a
 * point, 1 to 4 take one and K keeps the point. With Control, Z takes back and Y does again.
 */

const STEP = 1;
const LONG_STEP = 10;
const LONGEST_STEP = 100;
const ZOOM = 1.5;
const CHOICES = ['1', '2', '3', '4'];

/** @type {Record<string, [number, number]>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {KeyboardEvent} event
 * @param {import('./viewer.js').PhotoViewer} viewer
 * @param {{set: () => void, aimed: () => void, use: (index: number) => void, keep: () => void,
 *   undo: () => void, redo: () => void}} doing
 */
export function photoKey(event, viewer, doing) {
  const way = WAYS[event.key];
  if (way) {
    const longer = event.ctrlKey ? LONGEST_STEP : LONG_STEP;
    const step = event.shiftKey || event.ctrlKey ? longer : STEP;
    const { scale, centre } = viewer.view;
    viewer.show({ scale, centre: { x: centre.x + way[0] * step, y: centre.y + way[1] * step } });
    doing.aimed();
  } else if (event.ctrlKey || event.metaKey) {
    if (!steppedBack(event, doing)) return;
  } else if (CHOICES.includes(event.key)) doing.use(CHOICES.indexOf(event.key));
  else if (event.key.toLowerCase() === 'k') doing.keep();
  else if (event.key === '+' || event.key === '=') zoomBy(viewer, ZOOM);
  else if (event.key === '-') zoomBy(viewer, 1 / ZOOM);
  else if (event.key === '0') viewer.fit();
  else if (event.key === 'Enter') doing.set();
  else return;
  event.preventDefault();
}

/**
 * @param {KeyboardEvent} event
 * @param {{undo: () => void, redo: () => void}} doing
 */
function steppedBack(event, doing) {
  const key = event.key.toLowerCase();
  if (key === 'y' || (key === 'z' && event.shiftKey)) doing.redo();
  else if (key === 'z') doing.undo();
  else return false;
  return true;
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
