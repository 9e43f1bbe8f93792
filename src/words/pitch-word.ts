import type { Axis } from '../store/index.js'

/** What one turn of the handle moves, by its name: a rotary table has no leadscrew that its user knows of. */
export function pitchWord({ rotary }: Pick<Axis, 'rotary'>): 'leadscrew pitch' | 'one turn of the handle' {
  return rotary ? 'one turn of the handle' : 'leadscrew pitch'
}
