import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { planSession } from '../../../src/planning/index.js'
import {
  builtInProcedure,
  builtInProcedureNames,
  parseProcedure,
  parseRecheckAsked,
  parseSessionPlan,
} from '../../../src/planning/procedures/index.js'

const FOLDER = new URL('../../../calibration/procedures/', import.meta.url)

describe('procedures that come with the program', () => {
  it('are the files of calibration/procedures, each named like its file', () => {
    const files = readdirSync(FOLDER).filter((file) => file.endsWith('.json'))
    expect(files.map((file) => file.replace('.json', '')).sort()).toEqual([...builtInProcedureNames()].sort())
    for (const name of builtInProcedureNames()) {
      const file: unknown = JSON.parse(readFileSync(new URL(`${name}.json`, FOLDER), 'utf8'))
      expect(builtInProcedure(name)).toEqual(file)
    }
  })

  it('set the dial anew for every run and never go mark by mark', () => {
    for (const name of builtInProcedureNames()) {
      const { resetDial, passes } = builtInProcedure(name)
      expect([resetDial, passes.length >= 2, passes.includes('down')]).toEqual([true, true, true])
    }
    expect(builtInProcedure('stopwatch').minimumTravelTimeS).toBeGreaterThanOrEqual(30)
  })

  it('unknown-procedure names the known ones', () => {
    expect(() => builtInProcedure('slow')).toThrow('there are standard, quick, stopwatch')
  })
})

describe('parseProcedure(json, place)', () => {
  it('names the file and the field that does not fit', () => {
    const good = builtInProcedure('quick')
    expect(() => parseProcedure({ ...good, restS: -1 }, 'mine.json')).toThrow(/^mine\.json .*restS/)
    expect(() => parseProcedure({ ...good, passes: [] }, 'mine.json')).toThrow(/passes/)
    expect(() => parseProcedure({ ...good, speed: 3 }, 'mine.json')).toThrow(/speed/)
    expect(() => parseProcedure('text', 'mine.json')).toThrow(/mine\.json is not a procedure/)
  })
})

describe('parseSessionPlan(json)', () => {
  it('reads back a plan that went through JSON, and refuses another thing', () => {
    const axis = { marks: [1, 2.5], dialMin: 0, dialMax: 3, stepped: false }
    const plan = planSession(builtInProcedure('standard'), axis)
    expect(parseSessionPlan(JSON.parse(JSON.stringify(plan)))).toEqual(plan)
    expect(() => parseSessionPlan({ procedure: 'x', steps: [{ step: 0 }] })).toThrow(/steps\.0/)
  })
})

it('what a guided recheck asks is read back from its plan, and refused where it is damaged', () => {
  const plan = { procedure: 'recheck', steps: [], reason: 'new belt', withinPercent: 2 }
  expect(parseRecheckAsked(plan)).toEqual({ reason: 'new belt', withinPercent: 2, outlook: null })
  const outlook = { finest: { withinPercent: 1.7, dial: 4, because: 'days' }, decides: 0.4 }
  expect(parseRecheckAsked({ ...plan, outlook }).outlook).toEqual({ ...outlook, showsTwice: null })
  for (const damaged of [{ ...plan, reason: 7 }, { ...plan, withinPercent: -1 }, null]) {
    expect(() => parseRecheckAsked(damaged)).toThrow(/plan of this recheck cannot be read/)
  }
})
