import {
  CUTTER_GEOMETRY,
  type CutPass,
  type CutProblem,
  type CutterKind,
  type CutterMaterial,
  cutProblem,
  cutterKindNamed,
  cuttingSpeedAt,
  feedPerToothMm,
  findMaterial,
} from '../../planning/cut/index.js'
import type { CutNote, Machine, Store } from '../../store/index.js'
import { readCuttingData } from './read-cutting-data.js'

/** A note on a cut as it is given, in our units. */
interface GivenCutNote extends Omit<CutNote, 'machineId' | 'at' | 'kind' | 'teeth' | 'material'> {
  readonly cutter: string
  /** Null where it may be left out. */
  readonly teeth: number | null
  readonly materialName: string
}

/** What came of noting: the note as it was kept, or why it was not. */
type NotedCut =
  | { readonly problem: CutProblem; readonly ownFile: string }
  | { readonly problem: null; readonly note: CutNote }

/** Keeps what happened at a cut. */
export async function noteCut(
  store: Store,
  machine: Machine,
  given: GivenCutNote,
  at: string,
): Promise<NotedCut> {
  const { materials, ownFile } = await readCuttingData()
  const refused = (problem: CutProblem): NotedCut => ({ problem, ownFile })
  const { cutter, teeth, materialName, ...kept } = given
  const kind = cutterKindNamed(cutter)
  if (kind === null) return refused({ problem: 'unknown-cutter', name: cutter })
  const single = CUTTER_GEOMETRY[kind].perRevolution || kind === 'fly cutter'
  const counted = single ? (kind === 'fly cutter' ? (teeth ?? 1) : 1) : teeth
  if (counted === null) return refused({ problem: 'no-teeth', kind })
  for (const field of ['rpm', 'feed'] as const) {
    const value = field === 'rpm' ? given.rpm : given.feedMmPerMin
    if (!(Number.isFinite(value) && value > 0)) return refused({ problem: 'not-positive', field })
  }
  if (given.finishUm !== null && !(given.finishUm > 0)) {
    return refused({ problem: 'not-positive', field: 'finish' })
  }
  const cut = { ...kept, kind, teeth: counted, stickOutMm: null, cuttingSpeedMPerMin: 1, chipLoadMm: 1 }
  const problem = cutProblem(cut, machine.unit)
  if (problem !== null) return refused(problem)
  // A material that the program has no values for may be noted as well.
  const material = findMaterial(materials, materialName)?.name ?? materialName.trim()
  const note = { ...kept, machineId: machine.id, at, kind, teeth: counted, material }
  store.cutNotes.add(note)
  return { problem: null, note }
}

/** What a cut is looked up by among the notes. */
interface SoughtCut {
  readonly kind: CutterKind
  readonly pass: CutPass
  readonly material: string
  readonly cutterMaterial: CutterMaterial
  readonly diameterMm: number
}

/** The notes on the same kind of cut on a machine, and the values that the newest good one starts from. */
export interface OwnExperience {
  /** Newest first. */
  readonly notes: readonly CutNote[]
  readonly start: {
    readonly cuttingSpeedMPerMin: number
    /** Feed per tooth as it was, mm. */
    readonly chipLoadMm: number
    readonly at: string
  } | null
}

/**
 * Ratio of diameters from which on a cutter is another one. Judgement: a tenth changes the speed by a tenth.
 */
const SAME_SIZE = 1.1

/**
 * What was noted of cuts like this one on a machine. The newest that was good is the place to start from; what went wrong
 * is told beside it.
 */
export function ownExperience(store: Store, machine: Machine, sought: SoughtCut): OwnExperience {
  const notes = store.cutNotes
    .list(machine.id)
    .filter(
      (note) =>
        note.kind === sought.kind &&
        note.pass === sought.pass &&
        note.material === sought.material &&
        note.cutterMaterial === sought.cutterMaterial &&
        Math.max(note.diameterMm / sought.diameterMm, sought.diameterMm / note.diameterMm) <= SAME_SIZE,
    )
  const good = notes.find((note) => note.outcome === 'good')
  if (good === undefined) return { notes, start: null }
  return {
    notes,
    start: {
      cuttingSpeedMPerMin: cuttingSpeedAt(good.rpm, good.diameterMm),
      chipLoadMm: feedPerToothMm(good.feedMmPerMin, good.rpm, good.teeth),
      at: good.at,
    },
  }
}
