import { describe, expect, it } from 'vitest'
import { FIGURES } from '../../../src/ingest/film/figures.js'
import { withoutMixtures } from '../../../src/ingest/film/mixtures.js'
import type { FrameReading } from '../../../src/ingest/film/read-figures.js'

/** Frames of a display of two places; a question mark is a place that is not certain. */
function readings(...texts: string[]): FrameReading[] {
  return texts.map((text, index) => ({
    timeS: index / 25,
    places: [...text].map((one) =>
      one === '?' ? null : FIGURES.find(({ value }) => value === Number(one))!,
    ),
    count: text.includes('?') ? null : Number(text),
  }))
}

const counts = (of: readonly FrameReading[]) => of.map(({ count }) => count)

describe('figures that lie one over the other', () => {
  it('are left out where far too many of them are an 8 and others are not certain', () => {
    const film = readings(
      ...['10', '10', '1?', '18', '18', '1?', '24', '24', '2?', '28', '28', '2?', '3?', '38', '38', '38'],
    )
    expect(counts(withoutMixtures(film))).toEqual(
      counts(film).map((count) => (count !== null && count % 10 === 8 ? null : count)),
    )
  })

  it('are none where the display is certain all the time, or shows every figure', () => {
    const eights = readings('08', '08', '18', '18', '28', '28', '38', '38')
    expect(withoutMixtures(eights)).toBe(eights)
    const all = readings(
      ...[
        '01',
        '01',
        '0?',
        '08',
        '08',
        '1?',
        '15',
        '15',
        '2?',
        '22',
        '22',
        '2?',
        '28',
        '28',
        '3?',
        '36',
        '36',
      ],
    )
    expect(withoutMixtures(all)).toBe(all)
    expect(withoutMixtures([])).toEqual([])
  })
})
