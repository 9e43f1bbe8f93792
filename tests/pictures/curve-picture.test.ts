import { describe, expect, it } from 'vitest'
import { curvePicture, type DrawnTable } from '../../src/pictures/index.js'
import { type FeedTable, fitAxis } from '../../src/regression/index.js'
import { mark, STEPPED, table } from '../planning/sample-tables.js'
import { runsAt } from '../regression/run-evidence.js'
import { elementsOf, readXml, textOf, type XmlElement } from './read-xml.js'

const RUNS = [1, -1].flatMap((direction) =>
  runsAt(
    [1, 2, 4, 6, 8].map((dial) => [dial, [60 * dial, 61 * dial, 60.5 * dial]] as const),
    direction as 1 | -1,
  ),
)

const FITTED = fitAxis(RUNS, { stepped: false })

function drawn(changes: Partial<FeedTable> = {}): DrawnTable[] {
  return FITTED.directions.map((fitted) => ({
    table: table({ ...fitted, ...changes }),
    runs: RUNS.filter((run) => run.direction === fitted.direction),
  }))
}

function textsOf(svg: string): string[] {
  return elementsOf(readXml(svg), 'text').map(textOf)
}

/** Every number of every path and place, to see that nothing came out as NaN. */
function attributesOf(element: XmlElement): string[] {
  return [
    ...Object.values(element.attributes),
    ...element.children.flatMap((child) => (typeof child === 'string' ? [] : attributesOf(child))),
  ]
}

describe('curvePicture(tables)', () => {
  it('is well-formed SVG with a title, a description, units on the axes, version, date and hash', () => {
    const root = readXml(curvePicture(drawn()))
    expect(root.name).toBe('svg')
    expect(root.attributes.xmlns).toBe('http://www.w3.org/2000/svg')
    expect(elementsOf(root, 'title').map(textOf)).toEqual(['knee mill · X: feed against dial'])
    expect(textOf(elementsOf(root, 'desc')[0]!)).toMatch(/Direction plus.*Direction minus/)
    const texts = elementsOf(root, 'text').map(textOf)
    expect(texts).toContain('dial')
    expect(texts).toContain('feed, mm/min')
    expect(texts).toContain('direction −: percent of its curve')
    expect(texts).toContainEqual(expect.stringMatching(/direction \+: table 2 of 2026-03-02, aaaaaaaa/))
    expect(attributesOf(root).filter((value) => /NaN|undefined|Infinity/.test(value))).toEqual([])
  })

  it('draws every run twice, as a feed and as a deviation, and both bands of each direction twice', () => {
    const root = readXml(curvePicture(drawn()))
    const inLegend = 1
    const discs = elementsOf(root, 'circle').filter(({ attributes }) => attributes.r === '3.2')
    expect(discs).toHaveLength(2 * RUNS.filter((run) => run.direction === 1).length + inLegend)
    const bands = elementsOf(root, 'path').filter(
      ({ attributes }) => attributes['fill-opacity'] !== undefined,
    )
    expect(bands).toHaveLength(2 * 2 * 2)
  })

  it('tells the directions apart by dashes and shape, not by colour alone', () => {
    const lines = elementsOf(readXml(curvePicture(drawn())), 'path').filter(
      ({ attributes }) => attributes['stroke-width'] === '2',
    )
    expect(lines.map(({ attributes }) => attributes['stroke-dasharray'])).toEqual([
      ...[undefined, '7 4'],
      ...[undefined, '7 4'],
    ])
  })

  it('escapes the names that users give, also those that look like markup', () => {
    const name = '<script>alert("1")</script> & Söhne'
    const svg = curvePicture(drawn({ machine: name }))
    expect(svg).not.toContain('<script')
    expect(elementsOf(readXml(svg), 'title').map(textOf)).toEqual([`${name} · X: feed against dial`])
  })

  it('cuts a heading that is too long for the page, never the title for a screen reader', () => {
    const svg = curvePicture(drawn({ machine: 'very long '.repeat(20).trim() }))
    expect(textsOf(svg)[0]!.length).toBeLessThan(70)
    expect(textOf(elementsOf(readXml(svg), 'title')[0]!).length).toBeGreaterThan(200)
  })

  it('draws marks alone without a line between them, and a single one', () => {
    for (const one of [STEPPED, table({ marks: [mark(5, 100)] }), table({ marks: [mark(0, 0)] })]) {
      const root = readXml(curvePicture([{ table: one, runs: [] }]))
      const lines = elementsOf(root, 'path').filter(({ attributes }) => attributes['stroke-width'] === '2')
      expect(lines).toHaveLength(0)
      expect(attributesOf(root).filter((value) => /NaN|undefined|Infinity/.test(value))).toEqual([])
    }
  })

  it('marks what was timed by stopwatch', () => {
    const tables = drawn().map((one) => ({
      ...one,
      runs: one.runs.map((run) => ({ ...run, source: 'stopwatch' as const })),
    }))
    expect(textsOf(curvePicture(tables))).toContain('timed by stopwatch')
    expect(textsOf(curvePicture(drawn()))).not.toContain('timed by stopwatch')
  })

  it('refuses to draw nothing', () => {
    expect(() => curvePicture([])).toThrow(expect.objectContaining({ code: 'no-table' }))
  })
})
