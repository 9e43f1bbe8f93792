import * as z from 'zod'

const machineId = z.int().positive()
const axisId = z.int().positive()
/** A quantity as it was typed, with its unit or without; empty where nothing was. */
const typed = z.string().max(60)
/** Numbers as they were typed, one after the other. */
const typedList = z.string().max(6000)
const name = z.string().trim().max(100)

/** An axis as it was typed; bare numbers are in the machine's unit. */
const axisFields = z.strictObject({
  name,
  travel: typed,
  lowest: typed,
  highest: typed,
  marks: typedList,
  /** True where the dial has only its marks, nothing between. */
  stepped: z.boolean(),
  /** True where the dial clicks into place. */
  clicks: z.boolean(),
  /** True where the axis turns: then bare numbers are degrees. */
  rotary: z.boolean().optional(),
  pitch: typed,
  /** What the user calls the two directions; both empty or left out where nothing was told. */
  plusWay: z.string().max(60).optional(),
  minusWay: z.string().max(60).optional(),
  /** How hard the feed drive pushes; empty or left out where it was not told. */
  push: typed.optional(),
})

/** A new axis; names of the ranges of its dial, empty or left out where it has only one. */
const newAxisFields = axisFields.extend({ ranges: typed.optional() })

const machineFields = z.strictObject({
  name,
  unit: z.enum(['in', 'mm']),
  spindle: typedList,
  motor: typed,
})

const tagKey = z.string().trim().min(1).max(40)
const tagValue = z.string().trim().min(1).max(100)
/** Conditions of a run by name, such as load or gearing. */
export const runTags = z
  .record(tagKey, tagValue)
  .refine((tags) => Object.keys(tags).length <= 10, 'are more than ten')

/** Adds a machine, with its first axis where one is given: both or neither. */
export const addMachineRequest = machineFields.extend({ axis: newAxisFields.nullable() })
export const changeMachineRequest = machineFields.extend({ machineId })
export const machineRequest = z.strictObject({ machineId })
export const addAxisRequest = newAxisFields.extend({ machineId })
export const changeAxisRequest = axisFields.extend({ axisId })

/** Compares two groups of an axis' runs. */
export const compareRequest = z.strictObject({
  axisId,
  withinPercent: z.number().positive().max(50),
  /** Which two groups: the directions, the runs of two tags of one name, or those before a moment and since. */
  groups: z.union([
    z.strictObject({ by: z.literal('direction') }),
    z.strictObject({ by: z.literal('tag'), key: tagKey, left: tagValue, right: tagValue }),
    z.strictObject({ by: z.literal('date'), before: z.iso.datetime({ offset: true }) }),
  ]),
  /** Only runs in this direction, where the two are not the groups; null for both. */
  direction: z.union([z.literal(1), z.literal(-1)]).nullable(),
})

/** Listens to a port until its lines can be read. */
export const learnRequest = z.strictObject({
  port: z.string().min(1).max(300),
  baudRate: z.int().positive().max(4_000_000).nullable(),
  /** Such as 8N1; empty where it is to be found out. */
  framing: z.string().max(10),
})

/** How the axis is moved while it is listened to, and which number it is. */
export const moveRequest = z.strictObject({
  axisId,
  /** Counted from 1; null where the move is to tell. */
  column: z.int().positive().max(1000).nullable(),
  knownMove: typed,
  moveError: typed,
})

export const saveProfileRequest = z.strictObject({
  name: z.string().min(1).max(60),
  replace: z.boolean(),
})

const unit = z.enum(['in', 'mm', 'deg'])

/** Where the limit stop goes; bare lengths are in the unit. */
export const stopsRequest = z.strictObject({ axisId, unit, margin: typed })

/** How many runs it takes to know a feed so well. */
export const adviceRequest = z.strictObject({
  axisId,
  unit,
  feed: typed,
  /** Percent. */
  within: typed,
  direction: z.union([z.literal(1), z.literal(-1)]),
  timedBy: z.union([
    z.strictObject({ by: z.literal('stopwatch'), person: z.string().trim().max(100) }),
    z.strictObject({ by: z.literal('readout'), rate: typed, step: typed }),
  ]),
})

/** A press farther off than so many seconds was none at the mark. */
const lateS = z.number().min(-2).max(2)

/** What a person's timing test came to. */
export const practiceRequest = z.strictObject({
  person: z.string().trim().min(1).max(100),
  rounds: z
    .array(z.strictObject({ startLateS: lateS, stopLateS: lateS }))
    .min(3)
    .max(100),
})

export type StopsRequest = z.infer<typeof stopsRequest>
export type AdviceRequest = z.infer<typeof adviceRequest>
export type PracticeRequest = z.infer<typeof practiceRequest>
export type LearnRequest = z.infer<typeof learnRequest>
export type MoveRequest = z.infer<typeof moveRequest>
export type SaveProfileRequest = z.infer<typeof saveProfileRequest>
export type AxisFields = z.infer<typeof axisFields>
export type NewAxisFields = z.infer<typeof newAxisFields>
export type MachineFields = z.infer<typeof machineFields>
export type AddMachineRequest = z.infer<typeof addMachineRequest>
export type ChangeMachineRequest = z.infer<typeof changeMachineRequest>
export type MachineRequest = z.infer<typeof machineRequest>
export type CompareRequest = z.infer<typeof compareRequest>
export type AddAxisRequest = z.infer<typeof addAxisRequest>
export type ChangeAxisRequest = z.infer<typeof changeAxisRequest>
