import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Package } from 'datapackage'
import { describe, expect, it } from 'vitest'
import { DESCRIPTOR, dataPackage, type ExportedRun, tableDocument } from '../../src/export/index.js'
import { temporaryFolder } from '../harness/program.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

const RUN: ExportedRun = {
  id: '01K9ZQ4T7M2B5X8E0C3D6F1GHJ',
  dial: 2,
  direction: '+',
  feed: 7.9,
  standardUncertainty: 0.001,
  source: 'readout',
  recordedAt: '2026-03-02T09:00:00.123Z',
  tags: { load: 'free' },
  note: '=HYPERLINK("x")',
}

async function read(files: ReadonlyMap<string, string>): Promise<Package> {
  const folder = temporaryFolder()
  for (const [name, content] of files) writeFileSync(join(folder, name), content)
  return Package.load(join(folder, DESCRIPTOR))
}

// The reader and validator here is the public Frictionless Data library for JavaScript (npm `datapackage`), not ours.
describe('dataPackage(document, { runs, licence })', () => {
  const tables = [STRAIGHT, table({ ...STRAIGHT, direction: -1 })].map((one) => ({
    ...one,
    unit: 'in' as const,
  }))
  const files = dataPackage(tableDocument(tables), { runs: [RUN], licence: 'CC0-1.0' })

  it('is valid, and every cell fits the type, constraint and key of its field', async () => {
    const found = await read(files)
    expect(found.errors).toEqual([])
    expect(found.resourceNames).toEqual(['marks', 'curve', 'runs'])
    for (const resource of found.resources) {
      expect(resource.errors).toEqual([])
      expect(resource.tabular).toBe(true)
    }
    const rows = (await found.getResource('curve')!.read({ keyed: true })) as Record<string, unknown>[]
    expect(rows).toHaveLength(2 * STRAIGHT.curve.length)
    expect(rows[0]).toEqual({
      direction: 'plus',
      dial: STRAIGHT.curve[0]!.dial,
      feed_in_per_min: STRAIGHT.curve[0]!.feedMmPerMin / 25.4,
      feed_standard_uncertainty_in_per_min: STRAIGHT.curve[0]!.standardUncertaintyMmPerMin! / 25.4,
      feed_low_95_in_per_min: STRAIGHT.curve[0]!.interval95![0] / 25.4,
      feed_high_95_in_per_min: STRAIGHT.curve[0]!.interval95![1] / 25.4,
      next_setting_low_95_in_per_min: STRAIGHT.curve[0]!.nextSetting95![0] / 25.4,
      next_setting_high_95_in_per_min: STRAIGHT.curve[0]!.nextSetting95![1] / 25.4,
      // This table is not told for another day.
      same_day_low_95_in_per_min: null,
      same_day_high_95_in_per_min: null,
    })
  })

  it('neutralises what a spreadsheet could take for a formula', async () => {
    const [run] = (await (await read(files)).getResource('runs')!.read({ keyed: true })) as Record<
      string,
      unknown
    >[]
    expect(run).toMatchObject({ note: `'${RUN.note}`, tags: { load: 'free' }, feed_in_per_min: 7.9 })
  })

  it('says version, hash, range, licence and the UCUM code of every feed', () => {
    const descriptor = JSON.parse(files.get(DESCRIPTOR)!)
    expect(descriptor.licenses).toEqual([{ name: 'CC0-1.0' }])
    expect(descriptor.name).toMatch(/^[a-z0-9-]+$/)
    expect(descriptor.tablepace.tables[0]).toMatchObject({ version: 2, hash: 'a'.repeat(64), direction: '+' })
    const feeds = descriptor.resources[0].schema.fields.filter(({ name }: { name: string }) =>
      name.endsWith('_in_per_min'),
    )
    expect(feeds.length).toBe(8)
    for (const field of feeds) expect(field.unit).toBe('[in_i]/min')
  })

  it('has an empty curve where the dial has marks alone, and missing intervals as missing', async () => {
    const bare = STEPPED.marks.map((mark) => ({
      ...mark,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }))
    const found = await read(
      dataPackage(tableDocument([table({ ...STEPPED, marks: bare, machine: 'Ünît 3' })]), { runs: [] }),
    )
    expect(found.errors).toEqual([])
    expect(await found.getResource('curve')!.read()).toEqual([])
    const [mark] = (await found.getResource('marks')!.read({ keyed: true })) as Record<string, unknown>[]
    expect(mark).toMatchObject({ feed_mm_per_min: 20, feed_low_95_mm_per_min: null, runs: 3 })
  })
})
