import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import {
  calibrationFolder,
  type InferenceHints,
  inferFormat,
  listReadoutProfiles,
  loadReadoutProfile,
  parseLine,
} from '../../../src/ingest/index.js'

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'profile-'))
})
afterAll(async () => {
  await rm(folder, { recursive: true })
})

async function file(content: unknown): Promise<string> {
  const path = join(folder, 'mine.json')
  await writeFile(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}

const PROFILE = {
  name: 'mine',
  description: 'Two columns, the second one backward.',
  examples: ['1.000;2.000'],
  axes: [
    { axis: 'x', column: 1 },
    { axis: 'y', column: -1, sign: -1 },
  ],
  decimalMark: 'point',
  separators: [';'],
  unit: 'in',
}

const stamp = (texts: readonly string[]) => texts.map((text, i) => ({ timeS: i / 10, text }))

async function read(profileText: string, text: string, hints: Partial<InferenceHints> = {}) {
  const profile = await loadReadoutProfile(profileText)
  const { format } = inferFormat(stamp([text, text, text]), { axis: 'x', bareUnit: 'mm', ...hints, profile })
  return parseLine(text, format)
}

describe('the profiles that come with the program', () => {
  test('are found beside package.json', () => {
    expect(calibrationFolder()).toBe(join(process.cwd(), 'calibration'))
  })

  test('all load, are named like their file and read every one of their examples', async () => {
    const profiles = await listReadoutProfiles()
    expect(profiles.length).toBeGreaterThanOrEqual(8)
    for (const profile of profiles) {
      expect(await loadReadoutProfile(profile.name)).toEqual(profile)
      for (const example of profile.examples) {
        const { format } = inferFormat(stamp([example, example, example]), {
          axis: 'x',
          bareUnit: 'mm',
          countLengthMm: profile.unit === 'counts' && !profile.countLengthMm ? 0.01 : undefined,
          profile,
        })
        expect(parseLine(example, format), `${profile.name}: ${example}`).not.toBeTypeOf('string')
      }
    }
  })

  test.each([
    ['labelled', 'X+012.345', 12.345],
    ['polled', 'X=+012.345', 12.345],
    ['several-labelled', 'Y-1.000,X: 12.345', 12.345],
    ['labelled-with-unit', 'X 0.500 in', 12.7],
    ['columns', '12.345 -3.210 0.000', 12.345],
    ['plain-comma', '-0,005', -0.005],
    ['counts-5um', '200', 1],
  ])('%s reads %s', async (name, text, positionMm) => {
    expect(await read(name, text)).toEqual({ positionMm: expect.closeTo(positionMm, 9), ticks: null })
  })

  test('those with a clock give its ticks', async () => {
    expect(await read('clock-plain', '104512,12.345')).toEqual({ positionMm: 12.345, ticks: 104512 })
    expect(await read('plain-clock', '12.345 10451')).toEqual({ positionMm: 12.345, ticks: 10451 })
    expect(await read('labelled-clock', 'X:12.345,T:104512')).toEqual({ positionMm: 12.345, ticks: 104512 })
  })

  test('ask for what they need', async () => {
    await expect(read('counts', '200')).rejects.toMatchObject({ code: 'count-length-missing', exitCode: 2 })
    await expect(read('columns', '1.0 2.0', { axis: 'w' })).rejects.toMatchObject({
      code: 'profile-mismatch',
    })
    await expect(read('labelled', '12.345')).rejects.toMatchObject({ code: 'profile-mismatch' })
    await expect(read('labelled-with-unit', 'X12.345')).rejects.toMatchObject({ code: 'profile-mismatch' })
  })
})

describe('loadReadoutProfile(nameOrPath)', () => {
  test('reads a file; the sign turns the axis round', async () => {
    const path = await file(PROFILE)
    expect(await read(path, '1.000;2.000')).toEqual({ positionMm: 25.4, ticks: null })
    expect(await read(path, '1.000;2.000', { axis: 'Y' })).toEqual({ positionMm: -50.8, ticks: null })
    await expect(read(path, '1.000,2.000')).rejects.toThrow(/has no separator ,/)
  })

  test('names the known profiles where one is unknown', async () => {
    await expect(loadReadoutProfile('nosuch')).rejects.toMatchObject({
      code: 'unknown-profile',
      exitCode: 2,
      hint: expect.stringMatching(/columns.*labelled.*plain/),
    })
  })

  test.each<[string, unknown, RegExp]>([
    ['no JSON', '{"name":', /mine\.json is not valid, is not JSON/],
    ['a missing field', { ...PROFILE, unit: undefined }, /field unit/],
    ['an unknown unit', { ...PROFILE, unit: 'ft' }, /field unit/],
    [
      'column 0',
      { ...PROFILE, axes: [{ axis: 'x', column: 0 }] },
      /field axes\.0\.column: columns count from 1/,
    ],
    [
      'a label and a column',
      { ...PROFILE, axes: [{ axis: 'x', column: 1, label: 'X' }] },
      /either label or column/,
    ],
    ['a comma twice', { ...PROFILE, decimalMark: 'comma', separators: [','] }, /separators/],
    ['a field of its own', { ...PROFILE, parity: 'even' }, /parity/],
  ])('names file and field of a profile with %s', async (_, content, message) => {
    await expect(loadReadoutProfile(await file(content))).rejects.toThrow(message)
  })

  test('says that a file is missing', async () => {
    await expect(loadReadoutProfile(join(folder, 'none.json'))).rejects.toMatchObject({
      code: 'profile-unreadable',
      exitCode: 5,
    })
  })
})
