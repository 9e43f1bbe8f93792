import * as z from 'zod'
import { CUTTER_KINDS, ROTATIONS, WORK_SIDES } from '../planning/cut/index.js'
import { CUT_OUTCOMES } from '../store/index.js'
import { MOST_FILM_POSITIONS, MOST_PERCENT } from './limits.js'
import { runTags } from './machine-requests.js'

/** Numbers of a request must be real numbers within what a machine tool can be. */
const timeS = z.number().nonnegative().max(1e10)
const axisId = z.int().positive()
const dial = z.union([z.number().min(-1e6).max(1e6), z.literal('rapid')])

const directions = z
  .array(z.union([z.literal(1), z.literal(-1)]))
  .min(1)
  .max(2)

/** Opens a readout. */
export const connectRequest = z.strictObject({
  axisId,
  port: z.string().min(1).max(300),
  baudRate: z.int().positive().max(4_000_000).nullable(),
  /** By name, never a file. */
  profile: z
    .string()
    .regex(/^[\w-]{1,60}$/, 'is not the name of a readout profile')
    .nullable(),
})

/** What the table was moved by, as typed, since the readout was opened. */
export const knownMoveRequest = z.strictObject({ moved: z.string().min(1).max(40) })

const withinPercent = z.number().positive().max(MOST_PERCENT)

/** Begins a recording at a setting, or goes on with the session; the cautions have to be read first. */
export const armRequest = z.strictObject({
  what: z.union([
    z.strictObject({
      kind: z.literal('run'),
      dial,
      dialReset: z.boolean(),
      /** Teaches how the machine feeds today, and no mark. */
      check: z.boolean().optional(),
    }),
    z.strictObject({ kind: z.literal('session') }),
    /** The runs that the recheck in progress lacks, in travels in which the dial is turned. */
    z.strictObject({ kind: z.literal('recheck-travels') }),
    /** Travels in which the dial is turned through all marks, until each has its runs in these directions. */
    z.strictObject({
      kind: z.literal('sweep'),
      directions,
      /** Until every place is known to this percentage instead. */
      withinPercent: withinPercent.optional(),
    }),
  ]),
  /** Conditions that are kept with the runs. */
  tags: runTags.optional(),
  allClear: z.literal(true),
})

/** Begins a session that goes on until the table is good enough, or goes on with it. */
export const goodEnoughRequest = z.strictObject({
  axisId,
  withinPercent,
  /** No place is good enough before it is known to that percentage. */
  percentAlone: z.boolean(),
  directions,
  source: z.enum(['readout', 'stopwatch']),
})

/** Begins a session, or ends the one in progress and begins anew. */
export const sessionRequest = z.strictObject({
  axisId,
  procedure: z.string().regex(/^[\w-]{1,60}$/),
})

const reason = z.string().trim().min(1).max(300)

/** Begins a guided recheck, or goes on with one that has not decided. */
export const recheckRequest = z.strictObject({
  axisId,
  withinPercent,
  reason,
  source: z.enum(['readout', 'stopwatch']),
})

/** Judges the runs of the recheck in progress. */
export const judgeRequest = z.strictObject({ axisId, withinPercent })

/** A quantity as it was typed, with its unit or without; empty where nothing was. */
const typed = z.string().max(40)

/** Works out a cut. */
export const cutRequest = z.strictObject({
  axisId,
  /** Of bare numbers. */
  unit: z.enum(['in', 'mm']),
  direction: z.enum(['+', '-', '']),
  material: z.string().max(100),
  cutterMaterial: z.enum(['hss', 'carbide', '']),
  diameter: typed,
  teeth: typed,
  speed: typed,
  chipLoad: typed,
  width: typed,
  depth: typed,
  cornerRadius: typed,
  motor: typed,
  /** Kind of cutter; an end mill where it is not said. */
  cutter: z.enum(CUTTER_KINDS).optional(),
  pass: z.enum(['roughing', 'finishing']).optional(),
  stickOut: typed.optional(),
  /** How hard the feed drive pushes. */
  push: typed.optional(),
  workSide: z.enum(WORK_SIDES).optional(),
  rotation: z.enum(ROTATIONS).optional(),
})

/** Notes what happened at a cut. */
export const cutNoteRequest = z.strictObject({
  axisId,
  /** Of bare numbers. */
  unit: z.enum(['in', 'mm']),
  cutter: z.enum(CUTTER_KINDS),
  pass: z.enum(['roughing', 'finishing']),
  material: z.string().trim().min(1).max(100),
  cutterMaterial: z.enum(['hss', 'carbide']),
  diameter: typed,
  teeth: typed,
  rpm: typed,
  feed: typed,
  width: typed,
  depth: typed,
  outcome: z.enum(CUT_OUTCOMES),
  finish: typed,
  note: z.string().trim().max(300),
})

export const axisRequest = z.strictObject({ axisId })
export const runRequest = z.strictObject({ runId: z.string().max(60) })
export const dropRequest = z.strictObject({
  runId: z.string().max(60),
  reason: z.string().trim().min(1).max(300),
})
export const emptyRequest = z.strictObject({})

/** One exchange of clocks: sent and received by the phone's clock, in between by the laptop's, s. */
const clockExchange = z.strictObject({
  sentS: timeS,
  serverReceivedS: timeS,
  serverSentS: timeS,
  receivedS: timeS,
})

/** The step of a session that a run was made for, whatever the session has come to since; null for a run of its own. */
const madeFor = z.strictObject({ sessionId: z.int().positive(), step: z.int().positive() }).nullable()
const direction = z.union([z.literal(1), z.literal(-1)])

/** A traverse as readings off a film of the readout, typed on the page. */
export const filmRequest = z.strictObject({
  /** As for a timing: sent twice, it is kept once. */
  clientId: z.string().regex(/^[\w-]{8,60}$/),
  sequence: z.int().nonnegative(),
  axisId,
  dial,
  direction,
  /** By the film's own time stamps. */
  readings: z
    .array(z.strictObject({ timeS, positionMm: z.number().min(-1e6).max(1e6) }))
    .min(2)
    .max(500),
  /** What one unit of the last digit typed is worth. */
  positionLastDigitMm: z.number().positive().max(1),
  /** From frame to frame of the film; whether the browser tells when a frame belongs. */
  frameS: z.number().positive().max(1),
  framesTold: z.boolean(),
  /** From change to change of the display, null where nobody knows; whether it was seen on the film. */
  refreshS: z.number().positive().max(2).nullable(),
  refreshSeen: z.boolean(),
  step: madeFor,
  tags: runTags.optional(),
})

/** A traverse as the program read it off a film of the readout, on the page; confirmed by the user. */
export const filmReadRequest = z.strictObject({
  /** As for a timing: sent twice, it is kept once. */
  clientId: z.string().regex(/^[\w-]{8,60}$/),
  sequence: z.int().nonnegative(),
  axisId,
  dial,
  /** What the display shows, and how many digits stand behind its point. */
  unit: z.enum(['in', 'mm', 'deg']),
  decimals: z.int().min(0).max(6),
  /** When each number came, by the film's own time stamps, and the number in units of its last digit. */
  positions: z
    .array(z.tuple([timeS, z.int().min(-1e9).max(1e9)]))
    .min(2)
    .max(MOST_FILM_POSITIONS),
  step: madeFor,
  /** That the step asks for; a run of its own has the direction that the film shows. */
  direction: direction.nullable(),
  tags: runTags.optional(),
})

/** One timing by stopwatch, made on the page. */
export const stopwatchRequest = z.strictObject({
  /** Made once by the browser; with `sequence` it names the timing, so that sending it twice keeps it once. */
  clientId: z.string().regex(/^[\w-]{8,60}$/),
  sequence: z.int().nonnegative(),
  axisId,
  dial,
  direction,
  /** What can be no distance is refused in words that help to correct it, where the axis is known. */
  distanceMm: z.number(),
  /** By the clock of the phone, s. */
  durationS: z.number().positive().max(86_400),
  marksS: z.array(timeS).max(500),
  /** Distance from line to line of the presses on the way; null or left out where it was not said. */
  everyMm: z.number().positive().nullable().optional(),
  /** Who pressed, where that was said; empty otherwise. */
  person: z.string().trim().max(100),
  /** Conditions that are kept with the run. */
  tags: runTags.optional(),
  step: madeFor,
  /** Teaches how the machine feeds today, and no mark. */
  check: z.boolean().optional(),
  /** When it was made and when it is sent, by the phone's calendar: what counts is how long it waited. */
  madeAt: z.iso.datetime(),
  sentAt: z.iso.datetime().optional(),
  clock: z.strictObject({
    before: z.array(clockExchange).max(50),
    after: z.array(clockExchange).max(50),
  }),
})

export type ConnectRequest = z.infer<typeof connectRequest>
export type KnownMoveRequest = z.infer<typeof knownMoveRequest>
export type ArmRequest = z.infer<typeof armRequest>
export type GoodEnoughRequest = z.infer<typeof goodEnoughRequest>
export type SessionRequest = z.infer<typeof sessionRequest>
export type AxisRequest = z.infer<typeof axisRequest>
export type RunRequest = z.infer<typeof runRequest>
export type DropRequest = z.infer<typeof dropRequest>
export type EmptyRequest = z.infer<typeof emptyRequest>
export type FilmRequest = z.infer<typeof filmRequest>
export type FilmReadRequest = z.infer<typeof filmReadRequest>
export type StopwatchRequest = z.infer<typeof stopwatchRequest>
export type ClockExchange = z.infer<typeof clockExchange>
export type RecheckRequest = z.infer<typeof recheckRequest>
export type JudgeRequest = z.infer<typeof judgeRequest>
export type CutRequest = z.infer<typeof cutRequest>
export type CutNoteRequest = z.infer<typeof cutNoteRequest>
