/**
 * The shapes of what the service answers and what passes between modules. Types only.
 *
 * Wall frame: x right, y up, millimetres. Image frame: the centre of the top left pixel is (0, 0),
 * x right, y down, in the upright original.
 *
 * @typedef {[number, number]} Pair
 * @typedef {{x: number, y: number}} Point
 * @typedef {[Pair, Pair]} Ends of a size, mm right of the plumb line and up from the level line
 * @typedef {{left: number, right: number, bottom: number, top: number}} Box
 *
 * @typedef {'photo only' | 'tape only' | 'agrees' | 'unsure' | 'conflicts'} Status
 *
 * @typedef {object} DimensionFacts
 * @property {string} name
 * @property {'distance' | 'dx' | 'dy' | 'to_line'} [kind]
 * @property {string | null} from the mark it starts at; null where its role alone says what it is
 * @property {string | null} [to]
 * @property {Pair | [string, string] | null} [line]
 * @property {string | null} [role] which size of the alcove it is
 * @property {string | null} [side]
 * @property {string | null} [down]
 * @property {string | null} [to_down]
 * @property {string | null} [at]
 * @property {'tile' | 'bare' | 'hung' | null} [surface]
 * @property {string | null} [fixture]
 * @property {number | null} [count]
 *
 * @typedef {object} Instrument
 * @property {string} kind
 * @property {string | null} [id]
 * @property {string} [class]
 * @property {string} [graduation]
 * @property {string | null} [tolerance]
 * @property {string} [method]
 *
 * @typedef {object} ReadingFacts
 * @property {string} id
 * @property {string} dimension
 * @property {string} value
 * @property {string | null} [who]
 * @property {string | null} [at]
 * @property {Instrument} [instrument]
 * @property {string | null} [replaces]
 * @property {string} [echo] as the service understood it
 * @property {string | null} [surface]
 *
 * @typedef {object} MarkFacts
 * @property {Pair} at
 * @property {number | null} [sd_px]
 * @property {number} [defined_mm]
 * @property {number | null} [standoff_mm]
 * @property {number | null} [standoff_u_mm]
 * @property {Covariance | null} [cov_px2]
 *
 * @typedef {[[number, number], [number, number]]} Covariance of x and y, px²
 *
 * @typedef {object} Snap something near a point that may have been meant
 * @property {'corner' | 'crossing' | 'line end' | 'edge' | 'drawn line' | 'plate'} kind
 * @property {Pair} at
 * @property {Covariance} cov_px2
 * @property {string} text
 *
 * @typedef {{snaps: Snap[], doubt: {code: string, text: string} | null}} Snaps
 *
 * @typedef {object} Suggestion something that may be marked
 * @property {'deck line' | 'side edge' | 'corner' | 'round fitting'} kind
 * @property {string} text
 * @property {number} strength
 * @property {Pair[]} at its place; of a line, the two ends
 * @property {EdgePoints | null} [line] points along a deck line, to take it as a straight line
 *
 * @typedef {{points: Pair[], sd_px: number}} EdgePoints points along an edge, found in the photo
 *
 * @typedef {object} PhotoPlace where measured points and sizes lie in a photo
 * @property {Record<string, {at: Pair, cov_px2: Covariance}>} points
 * @property {{name: string, start: Pair, end: Pair}[]} sizes
 *
 * @typedef {object} WallPhoto
 * @property {string} id
 * @property {string} file
 * @property {string} filename
 * @property {'looking' | 'ready' | 'refused'} state
 * @property {number} [width]
 * @property {number} [height]
 * @property {Record<string, MarkFacts>} marks
 *
 * @typedef {object} CardFacts
 * @property {number} serial
 * @property {string | null} [print_job]
 * @property {number} [standoff_mm]
 * @property {number} [standoff_u_mm]
 *
 * @typedef {object} WallFacts
 * @property {string} id
 * @property {string} job
 * @property {'plumbing' | 'back' | 'far-end'} name
 * @property {number} revision
 * @property {'in' | 'mm' | 'cm' | 'm' | null} [bare_unit]
 * @property {[string, string] | null} level
 * @property {[string, string] | null} plumb
 * @property {CardFacts[]} cards
 * @property {{name: string, corners: Record<string, Pair[]>}[]} [rectangles] corners by photo
 * @property {{name: string, points: Record<string, Pair[]>}[]} [lines] points by photo
 * @property {DimensionFacts[]} dimensions
 * @property {ReadingFacts[]} readings
 * @property {WallPhoto[]} photos
 * @property {string[]} marks_wanted names in the order they are set
 * @property {number | null} [datum_card]
 * @property {{name: string, size_mm: Pair, standoff_mm: number}[]} [rectangles]
 * @property {number[]} [found_cards]
 * @property {'left' | 'right' | null} [corner] side of an end wall's back corner
 * @property {Record<string, Record<string, string | null>>} [known_by_name]
 *
 * @typedef {object} Suspect
 * @property {string} reading
 * @property {string} kind
 * @property {string | null} meant
 * @property {number} odds
 * @property {string | null} runner_up
 * @property {string | null} text
 *
 * @typedef {object} SizeReport
 * @property {string} name
 * @property {Status} status
 * @property {number | null} photo_mm
 * @property {number | null} photo_u_mm
 * @property {Pair | null} photo_interval95_mm
 * @property {number | null} tape_mm
 * @property {number | null} tape_u_mm
 * @property {number | null} expected_mm
 * @property {number | null} expected_u_mm
 * @property {Pair | null} expected_interval95_mm
 * @property {number | null} en
 * @property {number | null} w
 * @property {number | null} mdb_mm
 * @property {boolean} checked
 * @property {number | null} best_mm
 * @property {number | null} best_u_mm
 * @property {Pair | null} best_interval95_mm
 * @property {Suspect | null} suspect
 * @property {number | null} [birge] of repeated readings
 * @property {number | null} [tape_stays_mm] of tape_u_mm, what repeats do not shrink
 *
 * @typedef {{dimension: string, why: string}} Blocking
 * @typedef {{open: boolean, blocking: Blocking[]}} Gate
 * @typedef {object} ReadingReport
 * @property {string} id
 * @property {string} status
 * @property {number} u_mm
 * @property {string[]} clashes_with
 * @property {string | null} [dimension]
 * @property {number | null} [mm]
 * @property {number | null} [w] of this reading alone
 * @property {number | null} [mdb_mm] least slip of this reading alone that would have been caught
 *
 * @typedef {object} Report
 * @property {Record<string, {x_mm: number, y_mm: number, z_mm: number, photos: number}>} points
 * @property {SizeReport[]} dimensions
 * @property {ReadingReport[]} readings
 * @property {{file: string, advice: {code: string, text: string}[]}[]} photos
 * @property {{variance_factor: number | null, bounds: Pair | null, degrees_of_freedom: number} | null} adjustment
 * @property {{factor: number} | null} print_scale
 * @property {{code: string, text: string}[]} [advice]
 * @property {Record<string, UnseenSlip>} [unseen_slips]
 * @property {Gate} gate
 *
 * @typedef {{mark: string, photo: string, mm: number | null}} UnseenSlip
 * @typedef {{code: string, text: string, do: string}} Refusal
 *
 * @typedef {object} Closure
 * @property {string} name
 * @property {string[]} sizes
 * @property {number | null} out_mm
 * @property {number} limit_mm
 * @property {boolean | null} closes
 *
 * @typedef {{what: string, over_mm: number, value_mm: number, u_mm: number}} Derived
 *
 * @typedef {{wall: 'plumbing' | 'back' | 'far-end', size: string}} SizeToTape
 *
 * @typedef {object} WallInAlcove
 * @property {string[]} let_stand sizes whose conflict somebody lets stand
 * @property {string} id
 * @property {'plumbing' | 'back' | 'far-end'} name
 * @property {Refusal | null} refused
 * @property {SizeReport[]} dimensions
 * @property {ReadingReport[]} readings
 * @property {Gate | null} gate
 * @property {Closure[]} closures
 * @property {Derived[]} derived
 * @property {Face | null} face
 * @property {Record<string, Ends>} places of its taped sizes, by what they are and how long
 * @property {SizeToTape[]} tape_next
 * @property {SizeToTape[]} tape_again
 * @property {SizeToTape[]} tape_anew
 *
 * @typedef {object} Face of a wall, as its plan has it
 * @property {number | null} top_mm finished top above the level line
 * @property {{from_down_mm: number, to_down_mm: number | null, proud: string, do: 'keep' | 'strip' | 'pack'}[]} regions
 *
 * @typedef {object} Alcove
 * @property {WallInAlcove[]} walls
 * @property {Closure[]} across
 * @property {number | null} print_scale
 * @property {FromAbove | null} [from_above] where a size in plan is asked for
 *
 * @typedef {object} FromAbove the alcove in plan: mm right of the back wall's left corner, and out of it
 * @property {Pair[]} outline left front, left back corner, right back corner, right front
 * @property {{wall: string, size: string, ends: [Pair, Pair]}[]} sizes
 * @property {{side: 'left' | 'right', over_mm: number, out_mm: number, u_mm: number}[]} square out_mm: positive
 *   where the corner is open
 * @property {string[]} usual what nothing taped tells
 *
 * @typedef {object} PhotoFacts
 * @property {string} id
 * @property {string} wall
 * @property {string} job
 * @property {string} file
 * @property {string} filename
 * @property {'looking' | 'ready' | 'refused'} state
 * @property {number} width
 * @property {number} height
 * @property {{serial: number, outline: Pair[]}[]} cards
 * @property {{code: string, text: string}[]} advice
 * @property {{code: string, text: string, serial: number, at: Pair}[]} notes what looked like a card
 * @property {Refusal | null} refusal
 */
export {};
