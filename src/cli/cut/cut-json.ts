import type { CutAnswer, CutChange, FeedMarks, ScallopHeight } from '../../planning/cut/index.js'
import type { LoadCorrection } from '../../planning/load/index.js'
import type { FeedTable } from '../../regression/index.js'
import { CM3_PER_IN3, fromMPerMin, type LengthUnit, speedUnit, W_PER_HP } from '../../units/index.js'
import { feedQuantity, intervalJson, lengthJson } from '../json-shapes.js'
import { measuredAs } from '../load.js'
import { dialJson } from '../lookup-answers.js'
import type { CutNotes } from './notes.js'
import type { StartingValues } from './starting-values.js'

/** The answer to `cut` as JSON in the machine's unit. */
export function cutJson(
  answer: CutAnswer,
  values: StartingValues,
  asked: { readonly table: FeedTable | null; readonly correction: LoadCorrection | null },
  notes: CutNotes,
  unit: LengthUnit,
): Record<string, unknown> {
  const { plan, chipLoad, results } = answer
  const { spindle } = plan
  const speed = (mPerMin: number) => ({
    value: fromMPerMin(mPerMin, speedUnit(unit)),
    unit: speedUnit(unit),
  })
  return {
    cautions: notes.cautions,
    material: values.material?.name ?? null,
    cuttingSpeed: { wanted: speed(values.cuttingSpeedMPerMin), atSetRpm: speed(spindle.cuttingSpeedMPerMin) },
    spindle: {
      wantedRpm: spindle.wantedRpm,
      setRpm: spindle.setRpm,
      nextAboveRpm: spindle.nextAboveRpm,
      fromOwnSpeeds: spindle.fromOwnSpeeds,
    },
    chipThinning: plan.chipThinning,
    feedPerTooth: lengthJson(plan.feedPerToothMm, unit),
    feed: {
      wanted: feedQuantity(plan.feedMmPerMin.wanted, unit),
      atSetRpm: feedQuantity(plan.feedMmPerMin.atSetRpm, unit),
    },
    dial: dialOf(answer, asked),
    noDial: answer.noDial,
    changes: answer.changes.map((change) => changeJson(change, unit)),
    chipLoad: {
      ...lengthJson(chipLoad.chipLoadMm, unit),
      wanted: lengthJson(values.chipLoadMm, unit),
      nextSetting95: intervalJson(chipLoad.nextSetting95, unit),
      range: values.range === null ? null : intervalJson([values.range.lowMm, values.range.highMm], unit),
      leavesRange: chipLoad.leavesRange,
    },
    removalRate:
      results.removalRateMm3PerMin === null ? null : volumeJson(results.removalRateMm3PerMin, unit),
    power:
      results.power === null
        ? null
        : {
            low: powerJson(results.power.lowW, unit),
            high: powerJson(results.power.highW, unit),
            motorPercent: results.power.motorShare === null ? null : 100 * results.power.motorShare,
          },
    feedMarks: results.feedMarks.map((marks) => marksJson(marks, unit)),
    startingPoint: true,
    warnings: notes.warnings,
    sources: notes.sources,
  }
}

/** The whole answer of `dial`, with the dial itself at the top as well. */
function dialOf({ dial, plan }: CutAnswer, { table, correction }: Parameters<typeof cutJson>[2]): unknown {
  if (dial === null || table === null) return null
  const measured = measuredAs(correction)
  return { ...dial.dial, ...dialJson(plan.feedMmPerMin.atSetRpm, dial, table), measured }
}

function changeJson(change: CutChange, unit: LengthUnit): unknown {
  const feed = feedQuantity(change.feedMmPerMin, unit)
  if (change.change === 'teeth') return { change: 'teeth', teeth: change.teeth, feed }
  if (change.change === 'chip-load') {
    return { change: 'chip-load', chipLoad: lengthJson(change.chipLoadMm, unit), feed }
  }
  const { rpm, cuttingSpeedMPerMin, aboveWantedSpeed } = change
  const cuttingSpeed = { value: fromMPerMin(cuttingSpeedMPerMin, speedUnit(unit)), unit: speedUnit(unit) }
  return { change: 'spindle', rpm, cuttingSpeed, aboveWantedSpeed, feed }
}

function volumeJson(mm3PerMin: number, unit: LengthUnit): unknown {
  const cm3 = mm3PerMin / 1000
  return unit === 'in'
    ? { value: cm3 / CM3_PER_IN3, unit: 'in3/min', cm3PerMin: cm3 }
    : { value: cm3, unit: 'cm3/min', in3PerMin: cm3 / CM3_PER_IN3 }
}

function powerJson(powerW: number, unit: LengthUnit): unknown {
  return unit === 'in'
    ? { value: powerW / W_PER_HP, unit: 'hp', watts: powerW }
    : { value: powerW, unit: 'W', horsepower: powerW / W_PER_HP }
}

function marksJson({ surface, radiusMm, everyTooth, oneTooth }: FeedMarks, unit: LengthUnit): unknown {
  const height = (one: ScallopHeight | null) => (one === null ? null : lengthJson(one.exactMm, unit))
  return {
    surface,
    radius: lengthJson(radiusMm, unit),
    heightEveryTooth: height(everyTooth),
    heightOneTooth: height(oneTooth),
  }
}
