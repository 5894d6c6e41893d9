/** The fixed reticle in the middle of the viewer. */
import { svg } from '../page/dom.js';

const ARMS = 'M-46 0 H-7 M7 0 H46 M0 -46 V-7 M0 7 V46';

export function reticle() {
  return svg(
    'svg',
    { class: 'reticle', viewBox: '-50 -50 100 100', 'aria-hidden': 'true' },
    svg('path', { d: ARMS, class: 'under' }),
    svg('path', { d: ARMS, class: 'over' }),
    svg('circle', { r: 5, class: 'under' }),
    svg('circle', { r: 5, class: 'over' }),
    svg('circle', { r: 0.9, class: 'dot' }),
  );
}
