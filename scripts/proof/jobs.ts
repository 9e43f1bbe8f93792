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

/** All jobs of a proof; the long ones first, so that the workers end together. */
export function proofJobs(sessions: number, seed: number): Job[] {
  const counts = counted(sessions)
  const seedOf = (...parts: (string | number)[]) => seedFrom(`${seed}/${parts.join('/')}`) >>> 1
  const jobs: Job[] = []
  for (const family of [...FAMILIES, ...LOCAL_FAMILIES, ...UNSEEN_FAMILIES]) {
    for (const marks of MARKS) {
      for (const runs of RUNS) {
        const plan = { marks, runs }
        const add = (condition: ConditionName, machines: number) => {
          if (machines === 0) return
          jobs.push({
            kind: 'fit',
            family,
            plan,
            condition,
            machines,
            seed: seedOf('fit', family, marks, runs, condition),
          })
        }
        const half = Math.ceil(0.6 * counts.fits)
        add('readout', half)
        if (family === 'stepped') continue
        add('stopwatch', Math.floor((counts.fits - half) / 2))
        add('dial clicks', Math.ceil((counts.fits - half) / 2))
      }
    }
  }
  for (const family of [...CONTINUOUS_FAMILIES, ...LOCAL_FAMILIES]) {
    jobs.push({
      kind: 'fit',
      family,
      plan: LEAST_PLAN,
      condition: LEAST_CONDITION,
      machines: counts.least,
      seed: seedOf('least', family),
    })
  }
  for (const family of CONTINUOUS_FAMILIES) {
    for (const condition of WATCHED_CONDITIONS) {
      const plan = { marks: 8, runs: condition === 'one setting for two runs' ? 4 : 3 }
      jobs.push({
        kind: 'fit',
        family,
        plan,
        condition,
        machines: counts.watched,
        seed: seedOf('watched', family, condition),
      })
    }
  }
  for (const family of CONTINUOUS_FAMILIES) {
    for (const size of Object.keys(DAY_SIZES)) {
      const own = { family, size, seed: seedOf('days', family, size) }
      for (const spread of SPREADS)
        jobs.push({ kind: 'several sessions', ...own, spread, machines: counts.severalSessions })
      for (const runs of RUNS_OF_DAYS)
        jobs.push({ kind: 'days', ...own, lost: null, runs, machines: counts.days })
    }
    for (const lost of Object.keys(LOST_SIZES)) {
      const own = {
        family,
        size: SIZE_BESIDE_LOST,
        lost,
        runs: 3,
        seed: seedOf('days that lose', family, lost),
      }
      jobs.push({ kind: 'days', ...own, machines: counts.days })
    }
  }
  for (const family of FAMILIES) {
    for (let readout = 0; readout < READOUT_KINDS.length; readout++) {
      for (let k = 0; k < counts.sound; k++) {
        jobs.push({ kind: 'sound', family, readout, seed: seedOf('sound', family, readout, k) })
      }
      for (let k = 0; k < counts.disturbed; k++) {
        jobs.push({ kind: 'disturbed', family, readout, seed: seedOf('disturbed', family, readout, k) })
      }
    }
    for (let k = 0; k < counts.stopwatch; k++) {
      jobs.push({ kind: 'stopwatch', family, seed: seedOf('stopwatch', family, k) })
    }
  }
  return jobs
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
