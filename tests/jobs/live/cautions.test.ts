import { describe, expect, it } from 'vitest'
import { cautionsFor, traverseOccasion } from '../../../src/jobs/index.js'

const OCCASIONS = [
  'beforeTraverse',
  'beforeCuttingTraverse',
  'beforeAxisMove',
  'beforeCut',
  'beforeStops',
] as const

describe('cautions', () => {
  it('say where they come from, and defer to the manual and to trained people on every occasion', () => {
    for (const occasion of OCCASIONS) {
      const { heading, source, cautions } = cautionsFor(occasion)
      expect(heading).toMatch(/^Before/)
      expect(source).toMatch(/common practice, no source/)
      expect(cautions.at(-1)).toMatch(/manual.*rules and trained people come first/)
      expect(new Set(cautions).size).toBe(cautions.length)
    }
  })

  it('are those of a cut where the run carries a load, and of a free table otherwise', () => {
    for (const tags of [{}, { load: 'free' }, { load: 'FREE ' }, { load: 'none' }, { gibs: 'new' }]) {
      expect(traverseOccasion(tags)).toBe('beforeTraverse')
    }
    for (const load of ['cutting', 'Cutting', 'roughing', '0.1in deep']) {
      expect(traverseOccasion({ load })).toBe('beforeCuttingTraverse')
    }
    const cutting = cautionsFor('beforeCuttingTraverse').cautions.join(' ')
    expect(cutting).not.toMatch(/Spindle off|nothing turning/)
    expect(cutting).toMatch(/No gloves/)
    expect(cutting).toMatch(/climb milling/)
    expect(cautionsFor('beforeTraverse').cautions.join(' ')).toMatch(/Spindle off/)
  })

  it('of a cut name gloves and climb milling with backlash', () => {
    const cut = cautionsFor('beforeCut').cautions.join(' ')
    expect(cut).toMatch(/No gloves.*turning spindle/)
    expect(cut).toMatch(/backlash.*climb milling/)
  })
})
