/** The three panels over the three walls, unfolded, from the front or from behind. */
import { boxAround } from '../geometry/boxes.js';
import { placePanel } from '../geometry/panel_frame.js';
import { unfold } from '../geometry/unfold.js';
import { wallPoints } from '../geometry/wall_points.js';
import { toScreen } from '../geometry/unfold.js';
import { svg } from '../page/dom.js';
import { panelShape } from './panel_shape.js';
import { plainDimension } from './plain_dimension.js';
import { wallLines } from './wall_lines.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */

const ROOM = Object.freeze({ side: 56, between: 64, over: 52, under: 60, most: 0.62 });

/**
 * @param {{state: WallState, corner: import('../geometry/sketch.js').Corner, panel: any}[]} walls left to right
 * @param {number} width px
 * @param {'front' | 'back'} face
 */
export function panelsDrawing(walls, width, face) {
  const drawn = walls.map(({ state, corner, panel }) => {
    const shape = wallPoints(state.facts, state.report, corner);
    const plumb = shape.points.get(state.facts.plumb?.[0] ?? '') ?? { x: 0, y: 0 };
    const front = placePanel(panel, plumb, null);
    const own = boxAround(front.outline);
    const place = face === 'back' ? placePanel(panel, plumb, own) : front;
    const box = boxAround([...(face === 'back' ? [] : shape.points.values()), ...front.outline]);
    return { state, panel, shape, place, own: /** @type {any} */ (own), box: /** @type {any} */ (box) };
  });
  const { placings, height } = unfold(
    drawn.map(({ box }) => box),
    width,
    ROOM,
  );
  const picture = svg('svg', {
    class: 'unfolded',
    width,
    height: Math.ceil(height),
    viewBox: `0 0 ${width} ${Math.ceil(height)}`,
    role: 'img',
    'aria-label':
      face === 'back' ? 'Panels seen from behind, mirrored' : 'Panels over the walls, seen from the room',
  });
  drawn.forEach((one, index) => picture.append(...panelGroup(one, placings[index], face, height)));
  return picture;
}

/**
 * @param {any} one
 * @param {import('../geometry/unfold.js').Placing} placing
 * @param {'front' | 'back'} face
 * @param {number} height
 */
function panelGroup({ state, panel, shape, place, own, box }, placing, face, height) {
  const corner = (/** @type {number} */ x, /** @type {number} */ y) => toScreen(placing, { x, y });
  const about = panel.released ? '' : 'about ';
  const middle = placing.x + ((box.left + box.right) / 2) * placing.scale;
  const title =
    face === 'back'
      ? `${panel.wall}, FROM BEHIND`
      : `${panel.wall}${panel.hand === 'none' ? '' : `, ${panel.hand} hand`}`;
  return [
    face === 'front' ? wallLines(state.facts, shape, placing, false) : null,
    panelShape(panel, place, placing, `outline-${panel.wall.replace(' ', '-')}`),
    plainDimension(
      corner(own.left, own.top),
      corner(own.right, own.top),
      22,
      `${about}${panel.box.width} in`,
    ),
    plainDimension(
      corner(own.left, own.bottom),
      corner(own.left, own.top),
      22,
      `${about}${panel.box.height} in`,
    ),
    svg('text', { x: middle, y: height - 10, class: 'wall-name', 'text-anchor': 'middle' }, title),
  ].filter((part) => part !== null);
}
