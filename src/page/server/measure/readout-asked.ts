import { DataError } from '../../../errors/index.js'
import { loadReadoutProfile } from '../../../ingest/index.js'
import {
  type LiveSession,
  type LiveSource,
  linesTellUnit,
  parseMoveMm,
  portLink,
  settingsByMove,
  unitIsOpen,
} from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import type { LengthUnit } from '../../../units/index.js'
import type { ConnectRequest } from '../../api.js'

/** A readout that a page asks for, the axis it is to watch and the unit of the machine. */
interface AskedReadout {
  readonly axis: Axis
  readonly unit: LengthUnit
  readonly source: LiveSource
}

/** What a page asks for, looked up. @throws UsageError `unknown-axis`, `unknown-profile` */
export async function readoutAsked(store: Store, request: ConnectRequest): Promise<AskedReadout> {
  const axis = store.axes.byId(request.axisId)
  const { unit } = axis
  const profile = request.profile === null ? null : await loadReadoutProfile(request.profile)
  const link = portLink(request.baudRate, profile)
  const settings = {
    profile,
    bareUnit: unit,
    countLengthMm: null,
    fromSpreadsheet: false,
    baudRate: link.baudRate,
  }
  return { axis, unit, source: { path: request.port, link, settings } }
}

/** A readout that is open. */
export interface OpenReadout extends AskedReadout {
  readonly live: LiveSession
}

/** Whether nothing tells yet that the numbers are in the machine's unit; false as long as no line showed its format. */
export function isUnitOpen(store: Store, { live, axis, unit, source }: OpenReadout): boolean {
  const { format } = live
  return format !== null && unitIsOpen(store, axis, source.settings) && !linesTellUnit(format, unit)
}

/**
 * Reads the numbers from now on as a known move of the table shows.
 *
 * @param shownMm how far the readout moved, as it was read
 * @returns the readout as it is read now, and a sentence that says what was found
 * @throws UsageError, DataError as `parseMoveMm` and `settingsByMove` do
 */
export function afterKnownMove(
  open: OpenReadout,
  moved: string,
  shownMm: number,
): { readonly open: OpenReadout; readonly sentence: string } {
  const { live, axis, unit, source } = open
  const { format } = live
  if (format === null) {
    throw new DataError(
      'nothing-moved',
      'No line came from the readout yet.',
      'Wait for the position to show.',
    )
  }
  const lengthMm = parseMoveMm(moved, unit, axis.leadscrewPitchMm)
  const { settings, sentence } = settingsByMove(source.settings, { shownMm, format }, lengthMm)
  live.readAs(settings)
  return { open: { ...open, source: { ...source, settings } }, sentence }
}
