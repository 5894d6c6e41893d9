/** The walls unfolded side by side as they meet in the room, in one SVG, to one scale. */
import { boxAround } from '../geometry/boxes.js';
import { groupOf, placeSize } from '../geometry/sizes.js';
import { unfold } from '../geometry/unfold.js';
import { wallPoints } from '../geometry/wall_points.js';
import { svg } from '../page/dom.js';
import { cornerMark } from './corner_mark.js';
import { wallWords } from './words.js';
import { asksForLook } from './status_shape.js';
import { wallDrawing } from './wall_drawing.js';

/** @typedef {import('../state/job_facts.js').WallState} WallState */
/** @typedef {import('../geometry/sizes.js').Group} Group */

const ROOM = Object.freeze({ side: 30, between: 46, over: 52, under: 108, most: 0.62 });
const NARROW = Object.freeze({ ...ROOM, side: 18 });
const NARROW_PX = 560;
const WRITTEN_FROM = 0.28;
/** Px left free beside an upright line: for the label to the left of it, and for its arrowheads. */
const BESIDE = Object.freeze({ label: 20, arrow: 4 });
const SKETCH_PX = 300;
/** A wall narrower than this has room for its name, not for the word. */
const NAME_PX = 90;

/**
 * @param {{state: WallState, corner: import('../geometry/sketch.js').Corner}[]} walls left to right
 * @param {number} width px
 * @param {Group} group
 * @param {(wall: WallState, point: string) => string | null} photoOf
 * @param {import('../types.js').Closure[]} [across] what must close between the walls
 * @returns {{picture: SVGSVGElement, placings: import('../geometry/unfold.js').Placing[]}}
 */
export function unfolded(walls, width, group, photoOf, across = []) {
  const drawn = walls.map(({ state, corner }) => ({
    wall: state.facts,
    report: state.report,
    shape: wallPoints(state.facts, state.report, corner, state.alcove?.places),
    face: state.alcove?.face ?? undefined,
    state,
  }));
  const room = width < NARROW_PX ? NARROW : ROOM;
  const { placings, height } = unfold(
    drawn.map(({ shape }) => shape.box),
    width,
    room,
  );
  const picture = svg('svg', {
    class: 'unfolded',
    width,
    height: Math.ceil(height),
    viewBox: `0 0 ${width} ${Math.ceil(height)}`,
    role: 'group',
    'aria-label': 'Walls as they meet in the room, to scale',
  });
  drawn.forEach((wall, index) => {
    const written = walls.length === 1 || placings[index].scale >= WRITTEN_FROM;
    const within = roomFor(drawn, placings, index, width, room.between);
    const view = wallDrawing(wall, placings[index], { group, written, within }, (point) =>
      photoOf(wall.state, point),
    );
    const name = wallName(wall, placings[index], height);
    picture.append(view, name);
  });
  picture.append(...corners(drawn, placings, across));
  return { picture, placings };
}

/**
 * Between which px across a wall's own lines may lie: inside the picture, and not in the next wall's half
 * of the gap between them.
 * @param {{shape: import('../geometry/wall_points.js').WallPoints}[]} drawn
 * @param {import('../geometry/unfold.js').Placing[]} placings
 * @param {number} index
 * @param {number} width px
 * @param {number} between px
 * @returns {import('../types.js').Pair}
 */
function roomFor(drawn, placings, index, width, between) {
  const { shape } = drawn[index];
  const edge = (/** @type {number} */ mm) => placings[index].x + mm * placings[index].scale;
  const low = index === 0 ? 0 : edge(shape.box.left) - between / 2;
  const high = index === drawn.length - 1 ? width : edge(shape.box.right) + between / 2;
  return [low + BESIDE.label, high - BESIDE.arrow];
}

/**
 * How many sizes of each group there are, how many need another look, and whether one of these conflicts.
 * @param {WallState[]} states
 * @returns {Record<Group, {sizes: number, looks: number, conflicts: boolean}>}
 */
export function groupCounts(states) {
  const counts = { across: none(), up: none(), slant: none(), pipes: none() };
  for (const { facts, report, alcove } of states) {
    const { points, ends } = wallPoints(facts, report, 'none', alcove?.places);
    for (const size of facts.dimensions) {
      const group = placeSize(size, points, ends)?.group ?? groupOf(size);
      const found = report?.dimensions.find((other) => other.name === size.name);
      counts[group].sizes += 1;
      if (!found || !report || !asksForLook(found, report.gate)) continue;
      counts[group].looks += 1;
      counts[group].conflicts ||= found.status === 'conflicts';
    }
  }
  return counts;
}

const none = () => ({ sizes: 0, looks: 0, conflicts: false });

/**
 * What two walls say of the corner that they share, in the gap between them.
 * @param {{wall: {name: string}, shape: import('../geometry/wall_points.js').WallPoints}[]} drawn
 * @param {import('../geometry/unfold.js').Placing[]} placings
 * @param {import('../types.js').Closure[]} across
 */
function corners(drawn, placings, across) {
  return drawn.slice(1).flatMap((right, index) => {
    const left = drawn[index];
    const names = [left.wall.name, right.wall.name];
    const closure = across.find(
      ({ name, closes }) =>
        closes !== null && name.includes('corner: its height') && names.every((wall) => name.includes(wall)),
    );
    if (!closure) return [];
    const [one, other] = [placings[index], placings[index + 1]];
    const x = (one.x + left.shape.box.right * one.scale + other.x + right.shape.box.left * other.scale) / 2;
    const deck = Math.min(deckOf(left.shape), deckOf(right.shape));
    return [cornerMark(closure, x, one.y - deck * one.scale)];
  });
}

/**
 * How low a wall's own points lie; sizes down to the floor lie lower. mm.
 * @param {import('../geometry/wall_points.js').WallPoints} shape
 */
const deckOf = ({ points, outline, box }) => boxAround([...points.values(), ...outline])?.bottom ?? box.bottom;

/**
 * @param {any} wall
 * @param {import('../geometry/unfold.js').Placing} placing
 * @param {number} height
 */
function wallName(wall, placing, height) {
  const { box, guessed, points, taped } = wall.shape;
  const x = placing.x + ((box.left + box.right) / 2) * placing.scale;
  const wide = (box.right - box.left) * placing.scale;
  const words = wide < SKETCH_PX ? ' (sketch)' : ' (sketch: not measured yet)';
  const sketch = guessed.size === points.size && !taped ? words : '';
  return svg(
    'text',
    { x, y: height - 8, 'text-anchor': 'middle', class: 'wall-name' },
    wide < NAME_PX ? wallWords(wall.wall) : `${wallWords(wall.wall)} wall${sketch}`,
  );
}
