/** Where the work lies from the cutter, seen by someone who stands in front of the machine. */
export const WORK_SIDES = ['front', 'back', 'left', 'right'] as const
export type WorkSide = (typeof WORK_SIDES)[number]

/** Which way the spindle turns, seen from above. */
export const ROTATIONS = ['cw', 'ccw'] as const
export type Rotation = (typeof ROTATIONS)[number]

/** Which way the table moves, seen by someone who stands in front of the machine. */
export type TableMove = 'to the right' | 'to the left' | 'towards you' | 'away from you'

const CLOCKWISE: Readonly<Record<WorkSide, TableMove>> = {
  front: 'to the right',
  back: 'to the left',
  left: 'towards you',
  right: 'away from you',
}
const OTHER_WAY: Readonly<Record<TableMove, TableMove>> = {
  'to the right': 'to the left',
  'to the left': 'to the right',
  'towards you': 'away from you',
  'away from you': 'towards you',
}

/**
 * Which way the table moves so that the work is fed against the teeth (conventional or up milling). Where they meet the
 * work, the teeth of a cutter that turns clockwise run to the left past work in front of it, so the table has to go to
 * the right; from the geometry of a circle. With play in the screw the other way, climb milling, lets the cutter pull
 * the table (Atlas bench mill article, December 1951: thrust and feed then have the same direction).
 */
export function conventionalTableMove(side: WorkSide, rotation: Rotation): TableMove {
  return rotation === 'cw' ? CLOCKWISE[side] : OTHER_WAY[CLOCKWISE[side]]
}
