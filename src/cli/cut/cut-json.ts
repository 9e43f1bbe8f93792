import type { WorkedOutCut } from '../../jobs/index.js'
import type { CutChange, FeedMarks, ScallopHeight } from '../../planning/cut/index.js'
import { dialForFeed } from '../../planning/index.js'
import {
  CM3_PER_IN3,
  directionSign,
  fromMPerMin,
  type MachineUnit,
  speedUnit,
  W_PER_HP,
} from '../../units/index.js'
import { type CutNotes, cutLimitText, noDialWords } from '../../words/index.js'
import { feedQuantity, forceJson, intervalJson, lengthJson } from '../json-shapes.js'
import { measuredAs } from '../load.js'
import { onEachDay, todayJson } from '../lookup/day-answers.js'
import { dialJson } from '../lookup/lookup-answers.js'

/** The answer to `cut` as JSON in the machine's unit. */
export function cutJson(cut: WorkedOutCut, notes: CutNotes, unit: MachineUnit): Record<string, unknown> {
  const { wanted, values, answer } = cut
  const { plan, chipLoad } = answer
  const { spindle, feedMmPerMin } = plan
  const speed = (mPerMin: number) => ({
    value: fromMPerMin(mPerMin, speedUnit(unit)),
    unit: speedUnit(unit),
  })
  return {
    cautions: notes.cautions,
    cutter: wanted.kind,
    pass: wanted.pass,
    material: values.material?.name ?? null,
    cuttingSpeed: {
      wanted: speed(values.cuttingSpeedMPerMin),
      atSetRpm: orNull(spindle.cuttingSpeedMPerMin, speed),
    },
    spindle: {
      wantedRpm: spindle.wantedRpm,
      setRpm: spindle.setRpm,
      nextAboveRpm: spindle.nextAboveRpm,
      fromOwnSpeeds: spindle.fromOwnSpeeds,
    },
    chipThinning: plan.chipThinning,
    feedPerTooth: lengthJson(plan.feedPerToothMm, unit),
    feed: {
      wanted: feedQuantity(feedMmPerMin.wanted, unit),
      atSetRpm: orNull(feedMmPerMin.atSetRpm, (feed) => feedQuantity(feed, unit)),
    },
    ...engagementJson(cut, unit),
    dial: dialOf(cut),
    noDial: noDialWords(answer, unit),
    limits: answer.limits.map((limit) => ({
      code: limit.limit,
      stops: limit.stops,
      ...cutLimitText(limit, unit),
    })),
    changes: answer.changes.map((change) => changeJson(change, unit)),
    chipLoad: {
      ...lengthJson(chipLoad.chipLoadMm, unit),
      wanted: lengthJson(values.chipLoadMm, unit),
      nextSetting95: intervalJson(chipLoad.nextSetting95, unit),
      worstTooth: lengthJson(chipLoad.worstToothMm, unit),
      range: values.range === null ? null : intervalJson([values.range.lowMm, values.range.highMm], unit),
      leavesRange: chipLoad.leavesRange,
    },
    ...resultsJson(cut, unit),
    conventionalFeed: cut.conventional,
    conventionalDirection: orNull(cut.conventionalDirection, directionSign),
    startingPoint: true,
    warnings: notes.warnings,
    sources: notes.sources,
  }
}

function engagementJson({ answer }: WorkedOutCut, unit: MachineUnit): Record<string, unknown> {
  const { widthMm, depthMm, widthProposed, depthProposed } = answer.engagement
  const size = (valueMm: number | null, proposed: boolean) =>
    orNull(valueMm, (value) => ({ ...lengthJson(value, unit), proposed }))
  return { width: size(widthMm, widthProposed), depth: size(depthMm, depthProposed) }
}

function resultsJson({ answer }: WorkedOutCut, unit: MachineUnit): Record<string, unknown> {
  const { removalRateMm3PerMin, power, forceN, feedForceN, feedPowerW, deflection, feedMarks } =
    answer.results
  return {
    removalRate: orNull(removalRateMm3PerMin, (rate) => volumeJson(rate, unit)),
    power: orNull(power, ({ lowW, highW, motorShare }) => ({
      low: powerJson(lowW, unit),
      high: powerJson(highW, unit),
      motorPercent: motorShare === null ? null : 100 * motorShare,
    })),
    force: orNull(forceN, (force) => forceJson(force, unit)),
    feedForce: orNull(feedForceN, (force) => forceJson(force, unit)),
    feedPower: orNull(feedPowerW, (power) => powerJson(power, unit)),
    deflection: orNull(deflection, ({ tipMm, stickOutMm }) => ({
      tip: lengthJson(tipMm, unit),
      stickOut: lengthJson(stickOutMm, unit),
    })),
    feedMarks: feedMarks.map((marks) => marksJson(marks, unit)),
  }
}

function orNull<T, R>(value: T | null, say: (value: T) => R): R | null {
  return value === null ? null : say(value)
}

/** The whole answer of `dial`, with the dial itself at the top as well. */
function dialOf({ answer: { dial, plan }, table, days, correction }: WorkedOutCut): unknown {
  const feed = plan.feedMmPerMin.atSetRpm
  if (dial === null || table === null || days === null || feed === null) return null
  return {
    ...dial.dial,
    ...dialJson(feed, dial, table),
    today: todayJson(onEachDay(days, (one) => dialForFeed(one, feed)).today, table.unit),
    measured: measuredAs(correction),
  }
}

function changeJson(change: CutChange, unit: MachineUnit): unknown {
  const feed = feedQuantity(change.feedMmPerMin, unit)
  if (change.change === 'teeth') return { change: 'teeth', teeth: change.teeth, feed }
  if (change.change === 'chip-load') {
    return { change: 'chip-load', chipLoad: lengthJson(change.chipLoadMm, unit), feed }
  }
  const { rpm, cuttingSpeedMPerMin, aboveWantedSpeed } = change
  const cuttingSpeed = { value: fromMPerMin(cuttingSpeedMPerMin, speedUnit(unit)), unit: speedUnit(unit) }
  return { change: 'spindle', rpm, cuttingSpeed, aboveWantedSpeed, feed }
}

function volumeJson(mm3PerMin: number, unit: MachineUnit): unknown {
  const cm3 = mm3PerMin / 1000
  return unit === 'in'
    ? { value: cm3 / CM3_PER_IN3, unit: 'in3/min', cm3PerMin: cm3 }
    : { value: cm3, unit: 'cm3/min', in3PerMin: cm3 / CM3_PER_IN3 }
}

function powerJson(powerW: number, unit: MachineUnit): unknown {
  return unit === 'in'
    ? { value: powerW / W_PER_HP, unit: 'hp', watts: powerW }
    : { value: powerW, unit: 'W', horsepower: powerW / W_PER_HP }
}

function marksJson({ surface, radiusMm, everyTooth, oneTooth }: FeedMarks, unit: MachineUnit): unknown {
  const height = (one: ScallopHeight | null) => (one === null ? null : lengthJson(one.exactMm, unit))
  return {
    surface,
    radius: lengthJson(radiusMm, unit),
    heightEveryTooth: height(everyTooth),
    heightOneTooth: height(oneTooth),
  }
}
