import { seedFrom } from '../../src/numbers/index.js'
import { type ConditionName, LEAST_CONDITION, LEAST_PLAN, type Plan, WATCHED_CONDITIONS } from './campaign.js'
import { fittedMachine } from './fitted-tables.js'
import { DAY_SIZES, dayMachine, LOST_SIZES, SIZE_BESIDE_LOST } from './machines/day-machines.js'
import { CONTINUOUS_FAMILIES, FAMILIES, LOCAL_FAMILIES, UNSEEN_FAMILIES } from './machines/dial-families.js'
import { READOUT_KINDS } from './machines/readout-kinds.js'
import { type SessionPlan, sessionTable } from './machines/session-machines.js'
import { disturbedRun, soundSession, stopwatchRuns } from './machines/single-runs.js'
import { type Findings, noFindings } from './tally.js'

/** A part of the proof that one worker does on its own; plain data, so that it can be sent. */
type Job =
  | {
      readonly kind: 'sound' | 'disturbed'
      readonly family: string
      readonly readout: number
      readonly seed: number
    }
  | { readonly kind: 'stopwatch'; readonly family: string; readonly seed: number }
  | {
      readonly kind: 'fit'
      readonly family: string
      readonly plan: Plan
      readonly condition: ConditionName
      readonly machines: number
      readonly seed: number
    }
  | {
      readonly kind: 'days'
      readonly family: string
      readonly size: string
      /** What a day loses of all feeds alike; null where the size of the common factor is what is looked at. */
      readonly lost: string | null
      readonly runs: number
      readonly machines: number
      readonly seed: number
    }
  | {
      readonly kind: 'several sessions'
      readonly family: string
      readonly size: string
      readonly spread: SessionPlan['spread']
      readonly machines: number
      readonly seed: number
    }

/** Numbers of marks that machines are measured with. */
export const MARKS: readonly number[] = [4, 5, 6, 8, 10]
/** Runs at each mark and direction. */
const RUNS = [2, 3, 4]

/**
 * How much is simulated, from the sessions of each plan and family: repetitions of each readout kind and family, machines
 * of each plan and family, and of each day effect.
 */
function counted(sessions: number) {
  return {
    sound: Math.ceil(sessions / 2),
    disturbed: Math.ceil((5 / 3) * sessions),
    stopwatch: 6 * sessions,
    fits: sessions,
    watched: Math.ceil(sessions / 3),
    least: 3 * sessions,
    days: 2 * sessions,
    severalSessions: Math.ceil(sessions / 2),
  }
}

/** Runs at each mark of the tables that are used on other days; a single one rests on an assumed scatter. */
const RUNS_OF_DAYS = [1, 3]
const SPREADS = ['all', 'overlap'] as const

type Counts = ReturnType<typeof counted>
type SeedOf = (...parts: (string | number)[]) => number

/** All jobs of a proof; the long ones first, so that the workers end together. */
export function proofJobs(sessions: number, seed: number): Job[] {
  const counts = counted(sessions)
  const seedOf: SeedOf = (...parts) => seedFrom(`${seed}/${parts.join('/')}`) >>> 1
  return [
    ...[...FAMILIES, ...LOCAL_FAMILIES, ...UNSEEN_FAMILIES].flatMap((family) =>
      plannedFits(family, counts, seedOf),
    ),
    ...[...CONTINUOUS_FAMILIES, ...LOCAL_FAMILIES].map((family) => leastFit(family, counts, seedOf)),
    ...CONTINUOUS_FAMILIES.flatMap((family) => watchedFits(family, counts, seedOf)),
    ...CONTINUOUS_FAMILIES.flatMap((family) => dayTables(family, counts, seedOf)),
    ...FAMILIES.flatMap((family) => singleRuns(family, counts, seedOf)),
  ]
}

/** Tables of every number of marks and runs, by readout for the most part. */
function plannedFits(family: string, { fits }: Counts, seedOf: SeedOf): Job[] {
  const byReadout = Math.ceil(0.6 * fits)
  const conditions: [ConditionName, number][] = [['readout', byReadout]]
  if (family !== 'stepped')
    conditions.push(
      ['stopwatch', Math.floor((fits - byReadout) / 2)],
      ['dial clicks', Math.ceil((fits - byReadout) / 2)],
    )
  return MARKS.flatMap((marks) =>
    RUNS.flatMap((runs) =>
      conditions.flatMap(([condition, machines]): Job[] => {
        const seed = seedOf('fit', family, marks, runs, condition)
        return machines === 0
          ? []
          : [{ kind: 'fit', family, plan: { marks, runs }, condition, machines, seed }]
      }),
    ),
  )
}

function leastFit(family: string, { least }: Counts, seedOf: SeedOf): Job {
  const seed = seedOf('least', family)
  return { kind: 'fit', family, plan: LEAST_PLAN, condition: LEAST_CONDITION, machines: least, seed }
}

function watchedFits(family: string, { watched }: Counts, seedOf: SeedOf): Job[] {
  return WATCHED_CONDITIONS.map((condition) => {
    const plan = { marks: 8, runs: condition === 'one setting for two runs' ? 4 : 3 }
    const seed = seedOf('watched', family, condition)
    return { kind: 'fit', family, plan, condition, machines: watched, seed }
  })
}

/** Tables of one session and of several, that are used on other days. */
function dayTables(family: string, { days, severalSessions }: Counts, seedOf: SeedOf): Job[] {
  const bySize = Object.keys(DAY_SIZES).flatMap((size): Job[] => {
    const own = { family, size, seed: seedOf('days', family, size) }
    return [
      ...SPREADS.map((spread) => ({
        kind: 'several sessions' as const,
        ...own,
        spread,
        machines: severalSessions,
      })),
      ...RUNS_OF_DAYS.map((runs) => ({ kind: 'days' as const, ...own, lost: null, runs, machines: days })),
    ]
  })
  const byLoss = Object.keys(LOST_SIZES).map((lost): Job => {
    const seed = seedOf('days that lose', family, lost)
    return { kind: 'days', family, size: SIZE_BESIDE_LOST, lost, runs: 3, seed, machines: days }
  })
  return [...bySize, ...byLoss]
}

/** Single runs of a family by every readout, sound and disturbed, and by stopwatch. */
function singleRuns(family: string, counts: Counts, seedOf: SeedOf): Job[] {
  const byReadout = [...READOUT_KINDS.keys()].flatMap((readout) =>
    (['sound', 'disturbed'] as const).flatMap((kind) =>
      Array.from({ length: counts[kind] }, (_, k): Job => {
        return { kind, family, readout, seed: seedOf(kind, family, readout, k) }
      }),
    ),
  )
  const byStopwatch = Array.from({ length: counts.stopwatch }, (_, k): Job => {
    return { kind: 'stopwatch', family, seed: seedOf('stopwatch', family, k) }
  })
  return [...byReadout, ...byStopwatch]
}

/** Does one job. The same job gives the same findings. */
export function runJob(job: Job): Findings {
  const findings = noFindings()
  switch (job.kind) {
    case 'sound':
      soundSession(findings, job.family, READOUT_KINDS[job.readout]!, job.seed)
      break
    case 'disturbed':
      disturbedRun(findings, job.family, READOUT_KINDS[job.readout]!, job.seed)
      break
    case 'stopwatch':
      stopwatchRuns(findings, job.family, job.seed)
      break
    case 'fit':
      for (let k = 0; k < job.machines; k++) {
        fittedMachine(findings, job.family, job.plan, job.condition, job.seed + 7919 * k)
      }
      break
    case 'days':
      for (let k = 0; k < job.machines; k++) {
        const plan = { marks: 4 + (k % 5), runs: job.runs, size: job.size, earlierChecks: 0 }
        const lost = job.lost === null ? {} : { lost: job.lost }
        dayMachine(findings, job.family, { ...plan, ...lost }, job.seed + 7919 * k)
      }
      break
    case 'several sessions':
      for (let k = 0; k < job.machines; k++) {
        const plan = { marks: 5 + (k % 5), sessions: 2, runs: 2, size: job.size, spread: job.spread }
        sessionTable(findings, job.family, plan, job.seed + 104_729 * k)
      }
  }
  return findings
}
