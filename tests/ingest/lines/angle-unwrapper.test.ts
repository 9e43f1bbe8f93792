import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ingestLines } from '../../../src/ingest/index.js'
import { AngleUnwrapper } from '../../../src/ingest/lines/angle-unwrapper.js'

function unwrapped(shown: readonly number[]): number[] {
  const unwrapper = new AngleUnwrapper()
  return shown.map((angle) => Math.round(1000 * unwrapper.next(angle)) / 1000)
}

describe('AngleUnwrapper.next(shownDeg)', () => {
  it('goes on past a full turn, both ways and for readouts that go from −180° to 180°', () => {
    expect(unwrapped([359.4, 359.9, 0.4, 0.9])).toEqual([359.4, 359.9, 360.4, 360.9])
    expect(unwrapped([0.6, 0.1, 359.6, 359.1])).toEqual([0.6, 0.1, -0.4, -0.9])
    expect(unwrapped([179.5, -179.5, -178.5])).toEqual([179.5, 180.5, 181.5])
  })

  it('leaves what is no full turn: steps of the table, and readouts that count on', () => {
    expect(unwrapped([0, 90, 180, 0])).toEqual([0, 90, 180, 0])
    expect(unwrapped([359, 361, 540, 721])).toEqual([359, 361, 540, 721])
    expect(unwrapped([])).toEqual([])
  })

  it('comes back after one damaged reading', () => {
    expect(unwrapped([300, 0, 301, 302])).toEqual([300, 360, 301, 302])
  })

  it('gives back any turning of up to a quarter of a turn a line, from where it began', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 359, noNaN: true }),
        fc.array(fc.double({ min: -89, max: 89, noNaN: true }), { maxLength: 60 }),
        (start, steps) => {
          let angle = start
          const turned = [start, ...steps.map((step) => (angle += step))]
          const unwrapper = new AngleUnwrapper()
          const read = turned.map((one) => unwrapper.next(((one % 360) + 360) % 360))
          for (const [i, one] of turned.entries()) expect(read[i]).toBeCloseTo(one, 6)
        },
      ),
    )
  })
})

describe('lines of an axis that turns', () => {
  const lines = (text: (angle: string) => string) =>
    Array.from({ length: 60 }, (_, i) => ({ timeS: i / 10, text: text(((350 + i / 2) % 360).toFixed(2)) }))
  const TURNS = { axis: 'A', bareUnit: 'deg' } as const

  it('go on through 0, with their unit or without', () => {
    for (const text of [(a: string) => `A ${a}`, (a: string) => `A ${a} deg`, (a: string) => `A ${a}°`]) {
      const { samples, rejected } = ingestLines(lines(text), TURNS)
      expect(rejected).toEqual([])
      expect([samples.positionMm[0], samples.positionMm.at(-1)]).toEqual([350, 379.5])
    }
  })

  it('stay as they are on a straight axis', () => {
    const { samples } = ingestLines(
      lines((a) => `A ${a}`),
      { axis: 'A', bareUnit: 'mm' },
    )
    expect(samples.positionMm.at(-1)).toBe(19.5)
  })

  it('are refused where they are lengths, and degrees by profile on a straight axis', () => {
    expect(() =>
      ingestLines(
        lines((a) => `A ${a} mm`),
        TURNS,
      ),
    ).toThrow(/carry the unit mm, and this axis turns/)
    const profile = {
      ...{ name: 'shop', description: 'd', examples: [], separators: [], decimalMark: 'point' as const },
      axes: [{ axis: '*', label: '*' }],
    }
    const bare = lines((a) => `A ${a}`)
    expect(() => ingestLines(bare, { ...TURNS, profile: { ...profile, unit: 'in' } })).toThrow(
      /profile shop reads inches, and this axis turns/,
    )
    expect(() =>
      ingestLines(bare, { axis: 'A', bareUnit: 'in', profile: { ...profile, unit: 'deg' } }),
    ).toThrow(/profile shop reads degrees, and this axis is straight/)
    const { samples } = ingestLines(bare, { ...TURNS, profile: { ...profile, unit: 'deg' } })
    expect(samples.positionMm.at(-1)).toBe(379.5)
  })
})
