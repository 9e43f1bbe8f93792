import { describe, expect, it } from 'vitest'
import { cardRows, dialCard } from '../../src/pictures/index.js'
import { dialForFeed } from '../../src/planning/index.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'
import { elementsOf, readXml, textOf } from './read-xml.js'

const MINUS = table({ ...STRAIGHT, direction: -1 })
const RANGE = [0, 10] as const

function textsOf(svg: string): string[] {
  return elementsOf(readXml(svg), 'text').map(textOf)
}

describe('dialCard({ tables, dialRange })', () => {
  it('draws a dial a direction with even feeds, its own numbers, and where it comes from', () => {
    const svg = dialCard({ tables: [STRAIGHT, MINUS], dialRange: RANGE })
    const texts = textsOf(svg)
    expect(texts).toContain('knee mill · X: where to set the dial, mm/min')
    expect(texts).toContainEqual(
      expect.stringMatching(
        /direction −: table 2 of 2026-03-02, aaaaaaaa; measured dial 0.1 to 10, 10 to 1000 mm\/min/,
      ),
    )
    for (const feed of ['100', '500', '1000'])
      expect(texts.filter((text) => text === feed).length).toBeGreaterThanOrEqual(3)
    for (const dial of ['0', '5', '10'])
      expect(texts.filter((text) => text === dial).length).toBeGreaterThanOrEqual(2)
    expect(texts.join(' ')).toMatch(/Check again after work on gibs/)
    expect(svg).not.toMatch(/NaN|undefined|Infinity/)
  })

  it('says in words what it draws', () => {
    const svg = dialCard({ tables: [STRAIGHT], dialRange: RANGE })
    expect(textOf(elementsOf(readXml(svg), 'desc')[0]!)).toMatch(
      /200 mm\/min: dial 2 in direction plus within 10 %/,
    )
  })

  it('shows only the marks of a dial that has nothing between them', () => {
    const rows = cardRows([STEPPED], RANGE)
    expect(rows.map(({ feed }) => feed)).toEqual([20, 45, 46.5])
    expect(rows.map(({ settings }) => settings[0]?.dial)).toEqual([1, 2, 3])
    expect(textsOf(dialCard({ tables: [STEPPED], dialRange: [1, 3] }))).toContain('46.5')
  })

  it('refuses to draw nothing', () => {
    expect(() => dialCard({ tables: [], dialRange: RANGE })).toThrow(/no table to draw/)
  })
})

describe('cardRows(tables, dialRange)', () => {
  it('answers what the lookup answers, and leaves out what a direction does not reach', () => {
    const short = table({ ...MINUS, curve: MINUS.curve.slice(0, 50), marks: MINUS.marks.slice(0, 4) })
    const rows = cardRows([STRAIGHT, short], RANGE)
    for (const { feed, settings } of rows) {
      expect(settings.find(({ direction }) => direction === 1)?.dial).toBe(
        dialForFeed(STRAIGHT, feed).dial.value,
      )
      expect(settings).toHaveLength(feed <= 500 ? 2 : 1)
    }
    expect(rows.at(-1)?.feed).toBe(1000)
    // Every feed around the dial has its row.
    expect(
      textsOf(dialCard({ tables: [STRAIGHT], dialRange: RANGE })).filter((text) => text === '50'),
    ).toHaveLength(2)
  })
})
