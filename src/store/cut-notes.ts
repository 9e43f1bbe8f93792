import { refuseControls } from '../text/index.js'
import type { Connection } from './file/connection.js'

/** What happened at a cut. */
export const CUT_OUTCOMES = ['good', 'chatter', 'rough', 'rubbed', 'slowed', 'broke'] as const
export type CutOutcomeName = (typeof CUT_OUTCOMES)[number]

/** A cut as it was made, with what happened. */
export interface CutNote {
  readonly machineId: number
  readonly at: string
  /** Kind of cutter. */
  readonly kind: string
  readonly pass: 'roughing' | 'finishing'
  readonly material: string
  readonly cutterMaterial: 'hss' | 'carbide'
  readonly diameterMm: number
  readonly teeth: number
  readonly rpm: number
  readonly feedMmPerMin: number
  readonly widthMm: number | null
  readonly depthMm: number | null
  readonly outcome: CutOutcomeName
  /** Measured roughness (Ra), µm; null where it was not measured. */
  readonly finishUm: number | null
  readonly note: string
}

interface CutNoteRow {
  machine_id: number
  at: string
  kind: string
  pass: 'roughing' | 'finishing'
  material: string
  cutter_material: 'hss' | 'carbide'
  diameter_mm: number
  teeth: number
  rpm: number
  feed_mm_per_min: number
  width_mm: number | null
  depth_mm: number | null
  outcome: CutOutcomeName
  finish_um: number | null
  note: string
}

/** What the users noted after their cuts. */
export class CutNotes {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /** @throws UsageError for control characters in the note or a name */
  add(note: CutNote): void {
    refuseControls(note.note, 'The note')
    refuseControls(note.material, 'The name of the material')
    this.#connection.write(() =>
      this.#connection.insert('cut_note', {
        machine_id: note.machineId,
        at: note.at,
        kind: note.kind,
        pass: note.pass,
        material: note.material,
        cutter_material: note.cutterMaterial,
        diameter_mm: note.diameterMm,
        teeth: note.teeth,
        rpm: note.rpm,
        feed_mm_per_min: note.feedMmPerMin,
        width_mm: note.widthMm,
        depth_mm: note.depthMm,
        outcome: note.outcome,
        finish_um: note.finishUm,
        note: note.note,
      }),
    )
  }

  /** The notes of a machine, newest first. */
  list(machineId: number): CutNote[] {
    this.#connection.refuseDisorder('cut_note')
    return this.#connection
      .rows<CutNoteRow>('cut_note', 'WHERE machine_id = ? ORDER BY at DESC, id DESC', machineId)
      .map((row) => ({
        machineId: row.machine_id,
        at: row.at,
        kind: row.kind,
        pass: row.pass,
        material: row.material,
        cutterMaterial: row.cutter_material,
        diameterMm: row.diameter_mm,
        teeth: row.teeth,
        rpm: row.rpm,
        feedMmPerMin: row.feed_mm_per_min,
        widthMm: row.width_mm,
        depthMm: row.depth_mm,
        outcome: row.outcome,
        finishUm: row.finish_um,
        note: row.note,
      }))
  }
}
