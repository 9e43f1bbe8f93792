import { closeSync, existsSync, readFileSync, readSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { DataError, FileError, sentence, UsageError, way } from '../../errors/index.js'
import {
  DESCRIPTOR,
  documentOfPackage,
  readTableDocument,
  type TablesRead,
  tablesOf,
  zippedFiles,
} from '../../export/index.js'
import { MOST_TEXT_BYTES, openGivenFile, readGivenText } from '../../ingest/index.js'
import {
  type Axis,
  type Machine,
  type MergeReport,
  refuseChanged,
  type Store,
  tableHash,
} from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { rangeAxisName, writeDial } from '../../units/index.js'
import { knownAxis } from '../record/known-feeds.js'
import { refuseContradicting } from '../record/refuse-contradicting.js'

/** A table that an import met. */
export interface ImportedTable {
  readonly machine: string
  readonly axis: string
  readonly direction: Direction
  readonly version: number
  readonly hash: string
  /** False where the store had it already. */
  readonly added: boolean
  /** True where lookups now answer from it. */
  readonly inForce: boolean
}

export type ImportOutcome =
  | { readonly kind: 'tables'; readonly tables: readonly ImportedTable[] }
  | { readonly kind: 'store'; readonly report: MergeReport }

/** Machine and axis that tables go to, where they are to have other names than in the file. */
interface ImportTarget {
  readonly machine?: string
  readonly axis?: string
}

/**
 * Takes in what another tablepace handed on: a table document, a data package (its folder, its descriptor or a zip file) or a whole
 * store. Nothing that is here is overwritten.
 *
 * @throws FileError `file-not-read`; DataError `not-a-table-document`, `not-our-package`, `newer-document`,
 *   `hash-mismatch`, `other-unit`, `other-dial`, `no-axis-details`; StoreErrors for a store
 */
export function importFile(store: Store, path: string, target: ImportTarget, nowIso: string): ImportOutcome {
  const kind = kindOf(path)
  if (kind === 'store') return { kind, report: mergeChecked(store, path, nowIso) }
  const read =
    kind === 'zip'
      ? readZip(path)
      : kind === 'package'
        ? readPackage(path)
        : readTableDocument(readText(path), path, tableHash)
  return { kind: 'tables', tables: takeIn(store, read, { path, target, nowIso }) }
}

/** Takes in another store; of the runs that come with it, those that contradict the machine as it is known here are refused. */
function mergeChecked(store: Store, path: string, nowIso: string): MergeReport {
  const before = new Map(allAxes(store).map((axis) => [axis.id, knownAxis(store, axis)]))
  const report = store.mergeFrom(path)
  const refused = allAxes(store).flatMap((axis) =>
    refuseContradicting(store, axis, before.get(axis.id) ?? { tables: [], runs: [] }, nowIso),
  )
  return { ...report, conflicts: [...report.conflicts, ...refused] }
}

function allAxes(store: Store): Axis[] {
  return store.machines.list().flatMap((machine) => store.axes.list(machine.id))
}

function kindOf(path: string): 'store' | 'package' | 'zip' | 'document' {
  try {
    if (statSync(path).isDirectory() || basename(path) === DESCRIPTOR) return 'package'
    // A store may be of any size: it is never read whole.
    // The first bytes of every SQLite database (SQLite file format, 1.3).
    const begin = beginOf(path, 16)
    if (begin === 'SQLite format 3\0') return 'store'
    // The first bytes of every zip file with something in it (APPNOTE.TXT 6.3.10, 4.3.7).
    return begin.startsWith('PK\x03\x04') ? 'zip' : 'document'
  } catch (cause) {
    throw cause instanceof FileError ? cause : notRead(path, cause)
  }
}

function beginOf(path: string, bytes: number): string {
  const file = openGivenFile(path, Number.POSITIVE_INFINITY)
  try {
    const buffer = Buffer.alloc(bytes)
    return buffer.toString('latin1', 0, readSync(file, buffer, 0, bytes, 0))
  } finally {
    closeSync(file)
  }
}

function readPackage(path: string): TablesRead {
  const folder = basename(path) === DESCRIPTOR ? dirname(path) : path
  return tablesOf(
    documentOfPackage((name) => readText(join(folder, name)), path),
    tableHash,
  )
}

function readZip(path: string): TablesRead {
  const file = openGivenFile(path, MOST_TEXT_BYTES)
  try {
    return tablesOf(documentOfPackage(zippedFiles(readFileSync(file), path), path), tableHash)
  } finally {
    closeSync(file)
  }
}

function readText(path: string): string {
  return readGivenText(path, {
    code: 'file-not-read',
    message: existsSync(path) ? `${path} cannot be read.` : `There is no file ${path}.`,
    hint: 'Check the path, and that you may read it.',
  })
}

function notRead(path: string, cause: unknown): FileError {
  const missing = (cause as NodeJS.ErrnoException).code === 'ENOENT'
  return new FileError(
    'file-not-read',
    missing ? `There is no file ${path}.` : `${path} cannot be read.`,
    'Check the path, and that you may read it.',
    { cause },
  )
}

interface TakingIn {
  readonly path: string
  readonly target: ImportTarget
  readonly nowIso: string
}

function takeIn(store: Store, read: TablesRead, { path, target, nowIso }: TakingIn): ImportedTable[] {
  // Before anything is added, so that a file comes in whole or not at all.
  for (const table of read.tables) {
    refuseChanged(table)
    refuseFuture(table, path, nowIso)
  }
  const { machine, axis } = placeFor(store, read, target, nowIso)
  return read.tables.map((table) => {
    const { direction, hash, fittedAt } = table
    const taken = store.tables.takeIn(
      { ...table, axisId: axis.id, reason: `brought in from ${basename(path)}` },
      nowIso,
    )
    const here =
      taken ??
      store.tables
        .list(axis.id)
        .find((one) => one.direction === direction && one.hash === hash && one.fittedAt === fittedAt)
    const version = here?.version ?? table.version
    return {
      machine: machine.name,
      axis: axis.name,
      direction,
      version,
      hash,
      added: taken !== null,
      inForce: store.tables.inForce(axis.id, direction)?.version === version,
    }
  })
}

/** A table of a later date would stay in force over every fit to come. A day: clocks of two computers differ. */
function refuseFuture({ fittedAt }: { readonly fittedAt: string }, path: string, nowIso: string): void {
  if (Date.parse(fittedAt) <= Date.parse(nowIso) + 86_400_000) return
  throw new DataError(
    'not-a-table-document',
    `${path} cannot be brought in: it holds a table fitted at ${fittedAt}, which lies in the future.`,
    'Set the clocks of both computers right.',
  )
}

/** The axis the tables belong to: found by name, or added as the file describes it. */
function placeFor(
  store: Store,
  read: TablesRead,
  target: ImportTarget,
  nowIso: string,
): { machine: Machine; axis: Axis } {
  const names = { machine: target.machine ?? read.machine, axis: target.axis ?? read.axis }
  const rotary = read.unit === 'deg'
  const same = (a: string, b: string) => a.toLowerCase() === b.toLowerCase()
  const machine =
    store.machines.list().find(({ name }) => same(name, names.machine)) ??
    // Degrees say nothing of the machine under an axis that turns.
    store.machines.add({ name: names.machine, unit: rotary ? 'mm' : read.unit, spindleRpm: [] }, nowIso)
  const there = store.axes.list(machine.id).find(({ name }) => same(name, names.axis))
  const unit = there?.unit ?? (rotary ? 'deg' : machine.unit)
  if (unit !== read.unit) {
    const named = there?.rotary ? `${machine.name} ${there.name}` : machine.name
    throw new UsageError(
      'other-unit',
      `${named} is in ${unit} here, and the tables are in ${read.unit}/min.`,
      sentence`Bring them in under a machine of their own${way('machine')}.`,
    )
  }
  const axis =
    there ??
    store.axes.add(machine.id, { name: names.axis, rotary, ...describedAxis(read, names.axis) }, nowIso)
  refuseOtherDial(axis, read, machine.name)
  return { machine, axis }
}

/** The axis as the file describes it: a range of a dial stays one where it keeps the name that says so. */
function describedAxis(
  { axisDetails, axis, machine }: TablesRead,
  name: string,
): NonNullable<TablesRead['axisDetails']> {
  if (axisDetails !== undefined) {
    const { range, ...described } = axisDetails
    const isNamed = range !== undefined && name.toLowerCase() === rangeAxisName(range).toLowerCase()
    return isNamed ? axisDetails : described
  }
  throw new DataError(
    'no-axis-details',
    `The file does not describe axis ${axis} of ${machine}, and it is not in the store.`,
    sentence`Add it first${way('add-axis')}.`,
  )
}

function refuseOtherDial(axis: Axis, { tables, axisDetails }: TablesRead, machine: string): void {
  const dials = tables.flatMap((table) => table.marks.map((mark) => mark.dial))
  const fits =
    dials.every((dial) => dial >= axis.dialMin && dial <= axis.dialMax) &&
    tables.every((table) => table.stepped === axis.stepped) &&
    (axisDetails === undefined ||
      (axisDetails.dialMin === axis.dialMin &&
        axisDetails.dialMax === axis.dialMax &&
        (axisDetails.lettered ?? false) === (axis.lettered ?? false)))
  if (fits) return
  throw new UsageError(
    'other-dial',
    `${machine} ${axis.name} has a dial from ${writeDial(axis.dialMin, axis)} to ${writeDial(axis.dialMax, axis)}${axis.stepped ? ', with only its marks,' : ''} here; the tables are for another.`,
    sentence`Bring them in under an axis of their own${way('axis')}.`,
  )
}
