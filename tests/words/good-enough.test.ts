import { describe, expect, it } from 'vitest'
import { nextRunText, outOfReachTexts } from '../../src/words/index.js'

describe('outOfReachTexts(outOfReach, writing)', () => {
  it('names the widest places and counts the others', () => {
    const places = (count: number) =>
      Array.from({ length: count }, (_, i) => ({
        ...{ direction: -1 as const, from: i, to: i + 1, percent: 5 + i, why: 'between-settings' as const },
      }))
    const writing = { lettered: false, range: null }
    expect(outOfReachTexts(places(4), writing)).toHaveLength(4)
    const texts = outOfReachTexts(places(9), writing)
    expect(texts).toHaveLength(4)
    expect(texts[0]).toMatch(/^Between dial 8 and 9, direction -, .* ± 13 %/)
    expect(texts[3]).toBe('6 more places cannot be reached either.')
  })
})

describe('nextRunText(next, writing)', () => {
  it('says that a run in the direction whose shape is borrowed counts for both', () => {
    const writing = { lettered: false, range: null }
    expect(nextRunText({ dial: 3.5, direction: 1, because: 'lends-shape' }, writing)).toBe(
      'The next run is at dial 3.5 in direction +: the other direction borrows the shape of this one, so it narrows the worst place of both.',
    )
  })
})
