import { Option } from 'commander'
import type { LoadCorrection } from '../planning/load/index.js'
import { MEASURED, MEASURED_SENTENCE } from '../planning/lookup/free-of-cut.js'
import type { Axis, Store, StoredTable } from '../store/index.js'
import { writeDial } from '../units/index.js'

/** Whether a lookup is meant for a table that cuts. */
export interface LoadOption {
  readonly load?: 'free' | 'cutting'
}

/** `--load free|cutting`. */
export function loadOption(): Option {
  return new Option(
    '--load <kind>',
    'cutting: allow for the drop in feed that runs tagged load=cutting show',
  ).choices(['free', 'cutting'])
}

/** Tells a table with the drop under cut in it. */
export type UnderCut = (
  store: Store,
  axis: Axis,
  table: StoredTable,
) => Promise<{ table: StoredTable; correction: LoadCorrection }>

/** The table that a lookup asks: as it is, or with the drop under cut where that is asked for, never unasked. */
export async function underLoad(
  store: Store,
  axis: Axis,
  table: StoredTable,
  { load }: LoadOption,
  underCut?: UnderCut,
): Promise<{ table: StoredTable; correction: LoadCorrection | null }> {
  if (load !== 'cutting') return { table, correction: null }
  return underCut!(store, axis, table)
}

/** How the feeds of an answer were measured, as a field of its JSON. */
export function measuredAs(correction: LoadCorrection | null): string {
  return correction === null ? MEASURED : 'without a cut and while cutting'
}

/** What the correction is, as JSON; null where the answer is for a table that runs free. */
export function loadJson(correction: LoadCorrection | null): unknown {
  if (correction === null) return null
  const { value, interval95 } = percentOf(correction)
  const { dials, cuttingRuns, freeRuns } = correction
  return { kind: 'cutting', differencePercent: { value, interval95 }, dials, cuttingRuns, freeRuns }
}

/** For which load an answer is, in a sentence. */
export function loadText(correction: LoadCorrection | null): string[] {
  if (correction === null) return [`  ${MEASURED_SENTENCE}`]
  const { value, interval95 } = percentOf(correction)
  const signed = (percent: number) => `${percent > 0 ? '+' : ''}${percent.toFixed(1)} %`
  const { dials, cuttingRuns, freeRuns } = correction
  return [
    `  while cutting: ${signed(value)} against running free (95 %: ${signed(interval95[0])} … ${signed(interval95[1])}), from ${cuttingRuns} runs while cutting and ${freeRuns} running free at dial ${dials.map((dial) => writeDial(dial, correction)).join(', ')}; a heavier cut drops it further`,
  ]
}

function percentOf({ logFactor, halfWidth95 }: LoadCorrection) {
  const percent = (log: number) => 100 * Math.expm1(log)
  return {
    value: percent(logFactor),
    interval95: [percent(logFactor - halfWidth95), percent(logFactor + halfWidth95)] as const,
  }
}
