/**
 * What a plan is made from, field by field, in the trade's words: which key of the plan's settings it is,
 * how it is typed, and in which unit. Data only; `settings_fields` shows it.
 *
 * @typedef {object} Field
 * @property {string} key path below the object that it belongs to: `tile.0`, `down.value`
 * @property {string} label
 * @property {'length' | 'text' | 'money' | 'choice' | 'flag' | 'edges' | 'taped'} kind taped: one of the
 *   sizes that the wall has
 * @property {string} [hint]
 * @property {string[]} [of] kinds of thing that have it; every kind where it is left out
 * @property {[string, string][]} [options] of a choice: value and words; '' leaves the key out
 *
 * @typedef {object} Rows several things of one kind
 * @property {string} key
 * @property {string} title
 * @property {string} one what one of them is called
 * @property {Record<string, any>} blank a new one
 * @property {Field[]} fields
 */

const LEFT = 'from the plumb line, left negative';
const DOWN = 'below the level line';

/** @param {string} key @param {string} label @param {string} [hint] @returns {Field} */
const length = (key, label, hint) => ({ key, label, kind: 'length', hint });

/** @param {string} key @param {string} label @param {string} [hint] @returns {Field} */
const taped = (key, label, hint) => ({ key, label, kind: 'taped', hint });

/** @param {string} key @param {string} label @param {[string, string][]} options @returns {Field} */
const choice = (key, label, options) => ({ key, label, kind: 'choice', options });

/** @param {string[]} kinds @param {...Field} fields @returns {Field[]} */
const only = (kinds, ...fields) => fields.map((one) => ({ ...one, of: kinds }));

/** @type {Field[]} */
export const JOB = [
  choice('tub', 'The tub', [
    ['', 'stays'],
    ['new', 'is replaced'],
    ['base', 'becomes a shower base'],
    ['floor', 'goes: a bare floor'],
  ]),
  choice('bonding', 'Bonding schedule', [
    ['', 'tape and bead'],
    ['full spread', 'full spread'],
    ['beads only', 'beads only'],
  ]),
  { key: 'accessible', label: 'Bars and controls are held to 2010 ADA 607 to 609', kind: 'flag' },
];

/** @type {Field[]} */
export const TOP = [
  length('above_line', 'Finished top above the level line', 'the hold-down; on all walls alike'),
  { key: 'to_ceiling', label: 'Panels meet the ceiling', kind: 'flag' },
  choice('finish', 'Top edge', [
    ['', 'turned edge'],
    ['trim', 'trim, mitred to the uprights'],
  ]),
  length('line_above_floor', 'Level line above the floor', 'the code’s least top needs it'),
  length('band.0', 'Agreed top, lowest', 'above the floor'),
  length('band.1', 'Agreed top, highest', 'above the floor'),
  length('drain_below_line', 'Level line down to the drain', 'the code’s least top needs it'),
];

/** @type {Field[]} */
export const PATTERN = [
  length('tile.0', 'Tile, width'),
  length('tile.1', 'Tile, height'),
  length('joint', 'Joint'),
  choice('course', 'Courses', [
    ['', 'stacked'],
    ['half offset', 'half offset'],
  ]),
  choice('centre', 'Printed on the centre of a back sheet', [
    ['', 'either'],
    ['tile', 'a tile'],
    ['joint', 'a joint'],
  ]),
];

/** @type {Field[]} */
export const OUTER = [
  length('from_plumb', 'Plumb line to the finished edge', 'where it is put; or a taped size'),
  taped('dimension', 'At a taped size'),
  choice('finish', 'Outer edge', [
    ['return', 'turned edge over the tile edge'],
    ['trim under', 'trim fixed under the panel'],
    ['trim over', 'trim over the panel'],
  ]),
  length('paint_scar', 'Plumb line to the paint scar', 'the edge must cover it'),
  length('casing', 'Plumb line to the door casing', 'the edge must clear it'),
  length('outside_corner', 'Plumb line to an outside corner', 'the edge may not pass it'),
];

/** @type {Field[]} */
export const TUB_FRONT = [
  length('at_deck.value', 'Plumb line to the tub front, at the deck'),
  taped('at_deck.dimension', 'as taped'),
  length('at_floor.value', 'The same at the floor'),
  taped('at_floor.dimension', 'as taped'),
  length('line_to_floor.value', 'Level line to the floor there'),
  taped('line_to_floor.dimension', 'as taped'),
];

/** @type {Field[]} */
export const LOW_TOP = [
  length('down.value', 'Level line down to the top of a low wall'),
  taped('down.dimension', 'as taped'),
  length('thickness', 'How thick that wall is'),
];

/** @param {string} key @param {string} title @param {[string, string]} side @returns {Rows} */
const offsets = (key, title, [where, hint]) => ({
  key,
  title,
  one: 'height',
  blank: { down: '' },
  fields: [
    length('down', 'At', DOWN),
    length('value', where, hint),
    taped('dimension', 'as taped'),
    choice('surface', 'Taped to', [
      ['', 'whatever is there'],
      ['tile', 'the tile'],
      ['plaster', 'the plaster'],
      ['finished', 'the finished plane'],
      ['hung', 'the hung back panel'],
    ]),
  ],
});

/** @type {Rows[]} */
export const WALL_ROWS = [
  {
    key: 'fixtures',
    title: 'Pipes, valves and hardware',
    one: 'fixture',
    blank: { name: '' },
    fields: [
      { key: 'name', label: 'Name', kind: 'text' },
      choice('kind', 'Kind', [
        ['', 'pipe or valve'],
        ['grab bar', 'grab bar'],
        ['accessory', 'accessory'],
        ['receptacle', 'receptacle'],
        ['seat', 'seat'],
        ['door rail', 'door rail'],
        ['door jamb', 'door jamb'],
      ]),
      length('from_plumb', 'From the plumb line', 'left negative on the back wall; else towards the room'),
      taped('dimension', 'as taped'),
      length('down', 'Down', DOWN),
      taped('down_dimension', 'as taped'),
      ...only(
        [''],
        length('pipe', 'Pipe, across'),
        length('guard', 'Plaster guard of a valve, across'),
        length('hole', 'Hole, if not by pipe or guard'),
        length('face_to_datum', 'Wall face to the valve’s reference'),
        length('nipple_out', 'Nipple out of the wall face'),
        length('from_corner', 'From the back corner, as taped'),
      ),
      ...only(['', 'door jamb'], length('plate', 'Plate, flange or jamb, across')),
      ...only(
        ['receptacle', 'accessory'],
        length('box.0', 'Box, width'),
        length('box.1', 'Box, height'),
        length('plate_box.0', 'Its plate, width'),
        length('plate_box.1', 'Its plate, height'),
      ),
      ...only(
        ['grab bar', 'seat', 'door rail', 'door jamb', 'accessory'],
        length('length', 'Length, its middle at its place'),
      ),
    ],
  },
  {
    key: 'windows',
    title: 'Windows and niches',
    one: 'opening',
    blank: { name: '', left: {}, right: {}, head: {}, sill: {}, depth: '' },
    fields: [
      { key: 'name', label: 'Name', kind: 'text' },
      choice('kind', 'Kind', [
        ['', 'window'],
        ['niche', 'niche'],
      ]),
      length('left.value', 'Left side', LEFT),
      length('right.value', 'Right side', LEFT),
      length('head.value', 'Head', DOWN),
      taped('head.dimension', 'as taped'),
      length('sill.value', 'Sill', DOWN),
      taped('sill.dimension', 'as taped'),
      length('depth', 'Depth', 'finished plane to the frame, or to the niche’s back'),
      length('fall', 'Fall of the sill'),
    ],
  },
  {
    key: 'obstacles',
    title: 'Soffits, seats, curbs, ledges, pony walls',
    one: 'obstacle',
    blank: { name: '', kind: 'soffit' },
    fields: [
      { key: 'name', label: 'Name', kind: 'text' },
      choice('kind', 'Kind', [
        ['soffit', 'soffit'],
        ['pony wall', 'pony wall'],
        ['seat', 'seat'],
        ['curb', 'curb'],
        ['ledge', 'ledge'],
      ]),
      length('left.value', 'Left side', `${LEFT}; empty: past the panel`),
      length('right.value', 'Right side', `${LEFT}; empty: past the panel`),
      length('head.value', 'Upper end', `${DOWN}; empty: the ceiling`),
      length('foot.value', 'Lower end', `${DOWN}; empty: the deck`),
      length('depth', 'Stands out', 'empty: it gets no sheet'),
    ],
  },
  {
    key: 'surfaces',
    title: 'Surface, band by band',
    one: 'band',
    blank: { from_down: '', proud: '0', do: 'keep' },
    fields: [
      length('from_down', 'From', DOWN),
      length('to_down', 'To', `${DOWN}; empty: the deck`),
      length('proud', 'Stands out of the bare wall'),
      choice('do', 'What is done', [
        ['keep', 'kept'],
        ['strip', 'stripped'],
        ['pack', 'packed out flush'],
      ]),
    ],
  },
  {
    key: 'flatness',
    title: 'Humps and hollows under the straightedge',
    one: 'place',
    blank: { at: '', down: '', gap: '', kind: 'hollow' },
    fields: [
      length('at', 'At', LEFT),
      length('down', 'Down', DOWN),
      length('gap', 'Gap'),
      choice('kind', 'Kind', [
        ['hump', 'hump'],
        ['hollow', 'hollow'],
      ]),
    ],
  },
  {
    key: 'line_to_deck',
    title: 'Level line down to the deck',
    one: 'place',
    blank: { at: '' },
    fields: [length('at', 'At', LEFT), length('value', 'Height'), taped('dimension', 'as taped')],
  },
  offsets('left', 'Left of the plumb line', ['Plumb line to the left side', 'or a taped size']),
  offsets('right', 'Right of the plumb line', ['Plumb line to the right side', 'or a taped size']),
  {
    key: 'ceiling',
    title: 'A sloped ceiling',
    one: 'place',
    blank: { at: '', value: '' },
    fields: [length('at', 'At', LEFT), length('value', 'Level line up to the ceiling')],
  },
];

/** @type {Rows} */
export const STOCK = {
  key: 'stock',
  title: 'Sheets that can be had',
  one: 'sheet',
  blank: { name: '', size: ['', ''], finished: ['top'] },
  fields: [
    { key: 'name', label: 'Name', kind: 'text' },
    length('size.0', 'Width'),
    length('size.1', 'Height'),
    { key: 'finished', label: 'Factory finished edges, as seen from the room', kind: 'edges' },
    { key: 'price', label: 'Price', kind: 'money', hint: 'such as 412.00; empty: not known' },
    choice('printed', 'Printed pattern starts whole at', [
      ['', 'wherever it suits'],
      ['left', 'the left edge'],
      ['right', 'the right edge'],
      ['centre', 'the centre'],
    ]),
    { key: 'lot', label: 'Lot', kind: 'text' },
  ],
};

/** @type {Rows[]} */
export const BESIDE = [
  {
    key: 'openings',
    title: 'Opening at the tub front, for a door',
    one: 'height',
    blank: { down: '', value: '' },
    fields: [length('down', 'At', DOWN), length('value', 'Wall to wall')],
  },
  {
    key: 'way_in',
    title: 'Turns on the way in',
    one: 'turn',
    blank: { name: '', from_width: '', into_width: '' },
    fields: [
      { key: 'name', label: 'Where', kind: 'text' },
      length('from_width', 'Clear width before the turn'),
      length('into_width', 'Clear width after it'),
    ],
  },
  {
    key: 'changes',
    title: 'Change orders',
    one: 'change',
    blank: { name: '', amount: '', signed: false },
    fields: [
      { key: 'name', label: 'What is changed', kind: 'text' },
      { key: 'amount', label: 'Amount', kind: 'money', hint: 'such as 120.00, or -45.00' },
      { key: 'signed', label: 'Signed: in the price', kind: 'flag' },
    ],
  },
];
