import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  type ChipLoadRange,
  CUTTER_GEOMETRY,
  type CutterKind,
  type CutterMaterial,
  chipLoadFor,
  cutProblem,
  fastestPrintedMPerMin,
  findMaterial,
  parseCuttingData,
  planCut,
  startingChipLoad,
  startingChipLoadMm,
  startingSpeed,
  type WantedCut,
} from '../../../src/planning/cut/index.js'

const IN = 25.4
const FT = 0.3048
const FILE = 'calibration/cutting-data.json'
const materials = parseCuttingData(JSON.parse(readFileSync(FILE, 'utf8')), FILE)

/** Kind, material, cutter material, diameter in inches, teeth, pass. */
const CUTS: readonly (readonly [CutterKind, string, CutterMaterial, number, number, WantedCut['pass']])[] = [
  ['end mill', 'low-carbon steel', 'hss', 0.125, 4, 'roughing'],
  ['end mill', 'low-carbon steel', 'hss', 0.25, 4, 'roughing'],
  ['end mill', 'low-carbon steel', 'hss', 0.5, 4, 'roughing'],
  ['end mill', 'low-carbon steel', 'hss', 0.5, 4, 'finishing'],
  ['end mill', 'low-carbon steel', 'hss', 1, 4, 'roughing'],
  ['end mill', 'low-carbon steel', 'carbide', 0.5, 4, 'roughing'],
  ['end mill', 'alloy steel', 'hss', 0.5, 4, 'roughing'],
  ['end mill', 'alloy steel', 'carbide', 0.375, 4, 'roughing'],
  ['end mill', 'stainless steel', 'hss', 0.5, 4, 'roughing'],
  ['end mill', 'stainless steel', 'carbide', 0.25, 4, 'roughing'],
  ['end mill', 'grey cast iron', 'hss', 0.75, 4, 'roughing'],
  ['end mill', 'aluminium alloy', 'hss', 0.375, 2, 'roughing'],
  ['end mill', 'aluminium alloy', 'hss', 1, 4, 'roughing'],
  ['end mill', 'aluminium alloy', 'carbide', 0.5, 3, 'roughing'],
  ['end mill', 'free-cutting brass', 'hss', 0.25, 2, 'roughing'],
  ['face mill', 'low-carbon steel', 'carbide', 2.5, 5, 'roughing'],
  ['face mill', 'low-carbon steel', 'hss', 3, 10, 'roughing'],
  ['face mill', 'alloy steel', 'carbide', 2, 4, 'roughing'],
  ['face mill', 'stainless steel', 'carbide', 2.5, 5, 'finishing'],
  ['face mill', 'aluminium alloy', 'carbide', 3, 5, 'roughing'],
  ['fly cutter', 'aluminium alloy', 'hss', 3, 1, 'roughing'],
  ['fly cutter', 'grey cast iron', 'carbide', 2.5, 1, 'finishing'],
  ['side mill', 'low-carbon steel', 'hss', 4, 16, 'roughing'],
  ['side mill', 'free-cutting brass', 'hss', 3, 14, 'roughing'],
  ['slitting saw', 'low-carbon steel', 'hss', 3, 40, 'roughing'],
  ['slitting saw', 'aluminium alloy', 'hss', 2.5, 28, 'roughing'],
  ['drill', 'low-carbon steel', 'hss', 0.5, 1, 'roughing'],
  ['drill', 'stainless steel', 'hss', 0.25, 1, 'roughing'],
  ['turning', 'low-carbon steel', 'hss', 1, 1, 'roughing'],
  ['turning', 'aluminium alloy', 'carbide', 2, 1, 'finishing'],
]

interface Row {
  readonly cut: WantedCut
  readonly material: string
  readonly fastestMPerMin: number
  readonly load: ChipLoadRange
  readonly feedMmPerMin: number
  readonly rpm: number
  readonly text: string
}

const ROWS = CUTS.map(rowOf)

describe('thirty cuts, kind by material by size', () => {
  it('start at a speed that a source prints, and never above the fastest', () => {
    for (const { cut, material, fastestMPerMin } of ROWS) {
      expect(cut.cuttingSpeedMPerMin, material).toBeLessThanOrEqual(fastestMPerMin)
      expect(cut.cuttingSpeedMPerMin, material).toBeGreaterThan(fastestMPerMin / 6)
    }
  })

  it('start at a chip load that no source exceeds by more than a factor of three either way', () => {
    for (const { cut, load, text } of ROWS) {
      const start = cut.chipLoadMm
      for (const other of load.others) {
        // A range that is printed for no diameter is for the usual ones, half an inch and more.
        const near =
          other.forDiameterMm === null
            ? cut.kind !== 'end mill' || cut.diameterMm > 12
            : Math.abs(Math.log(other.forDiameterMm / cut.diameterMm)) < 0.2
        if (!near || cut.pass === 'finishing') continue
        expect(start, text).toBeGreaterThan(other.low / 3.01)
        expect(start, text).toBeLessThan(other.high * 3.01)
      }
    }
  })

  it('are cuts that a mill can make, and feed by rpm × teeth × chip load', () => {
    for (const { cut, feedMmPerMin, rpm, text } of ROWS) {
      expect(cutProblem(cut, 'in'), text).toBeNull()
      expect(feedMmPerMin).toBeCloseTo(rpm * cut.teeth * cut.chipLoadMm, 9)
      // A power feed of a manual machine gives up to some 40 in/min; rates far beyond would be a slip in the data.
      expect(feedMmPerMin / IN, text).toBeLessThan(60)
    }
  })

  it('stand in fixtures/cuts/thirty-cuts.md as they are worked out', async () => {
    const head = [
      '# Thirty cuts',
      '',
      'Worked out from `calibration/cutting-data.json` by `tests/planning/cut/thirty-cuts.test.ts`; after a change to the',
      'data run it with `-u`. Speed, chip load and feed are starting points at the wanted spindle speed; beside them',
      'stand the figures that the sources print, with the name of each in front. The whole names are in the data.',
      '',
      '| cut | speed ft/min | rpm | chip load in | feed in/min | printed speeds ft/min | printed chip loads in |',
      '| --- | --- | --- | --- | --- | --- | --- |',
    ]
    const text = [...head, ...ROWS.map((row) => row.text), ''].join('\n')
    await expect(text).toMatchFileSnapshot('../../../fixtures/cuts/thirty-cuts.md')
  })
})

function rowOf([kind, name, cutterMaterial, diameterIn, teeth, pass]: (typeof CUTS)[number]): Row {
  const material = findMaterial(materials, name)!
  const speed = startingSpeed(material, kind, cutterMaterial)!
  const load = startingChipLoad(material, kind, cutterMaterial)!
  const diameterMm = diameterIn * IN
  const start = startingChipLoadMm(load, chipLoadFor(load, diameterMm), pass)
  const cut: WantedCut = {
    ...{ kind, pass, cutterMaterial, diameterMm, teeth, chipLoadMm: start.chipLoadMm },
    cuttingSpeedMPerMin: speed.cuttingSpeedMPerMin,
    ...{ widthMm: null, depthMm: null, stickOutMm: null, ownSpindleRpm: [] },
  }
  const plan = planCut(cut)
  const feet = (mPerMin: number) => (mPerMin / FT).toFixed(0)
  const inch = (mm: number) => (mm / IN).toFixed(4)
  const range = (low: string, high: string) => (low === high ? low : `${low}–${high}`)
  const counted = CUTTER_GEOMETRY[kind].perRevolution ? '' : `, ${teeth} teeth`
  const what = `${diameterIn} in ${kind}${counted}, ${cutterMaterial}, ${name}, ${pass}`
  const speeds = [
    `${short(speed.source)} ${feet(speed.cuttingSpeedMPerMin)}`,
    ...speed.others.map((one) => `${short(one.source)} ${range(feet(one.low), feet(one.high))}`),
  ]
  const loads = [
    `${short(load.source)} ${range(inch(start.range.lowMm), inch(start.range.highMm))}`,
    ...load.others.map((one) => {
      const size =
        one.forDiameterMm === null ? '' : ` at ${Number((one.forDiameterMm / IN).toPrecision(6))} in`
      return `${short(one.source)} ${range(inch(one.low), inch(one.high))}${size}`
    }),
  ]
  const { wantedRpm } = plan.spindle
  const feedMmPerMin = plan.feedMmPerMin.wanted
  const cells = [
    what,
    feet(speed.cuttingSpeedMPerMin),
    wantedRpm.toFixed(0),
    inch(start.chipLoadMm),
    (feedMmPerMin / IN).toFixed(1),
    speeds.join('; '),
    loads.join('; '),
  ]
  return {
    ...{ cut, material: name, load, feedMmPerMin, rpm: wantedRpm },
    fastestMPerMin: fastestPrintedMPerMin(speed),
    text: `| ${cells.join(' | ')} |`,
  }
}

/** The first words of a source, up to its first comma or bracket. */
function short(source: string): string {
  return source.split(/[,(;:]/)[0]!.trim()
}
