import { Z95 } from '../numbers/z95.js'
import type { TableSession, TableWarning } from './feed-table.js'
import type { SessionEffects } from './scatter/session-effects.js'

/** What must be said of a table from several sessions; nothing where all runs were made in one. */
export function sessionWarnings(effects: SessionEffects | null): TableWarning[] {
  if (effects === null) return []
  const { connected, levels } = effects
  const told = summarizeSessions(effects).map(
    ({ session, shiftPercent, interval95Percent }) =>
      `${session} ${signed(shiftPercent)} % (95 %: ${interval95Percent.map(signed).join(' … ')} %)`,
  )
  const warnings: TableWarning[] = [
    {
      code: 'several-sessions',
      message: `The runs come from ${levels.length} sessions. What each moved all feeds by is taken out, and the table stands for their mean: ${told.join(', ')}.`,
    },
  ]
  if (connected.length > 1) {
    const lots = connected.map((sessions) => sessions.join(', ')).join(' against ')
    warnings.push({
      code: 'sessions-apart',
      message: `No mark was measured in sessions of both kinds: ${lots}. So nothing shows how their days differ, and the intervals allow for what two days may. Repeat one mark of the one in the other.`,
    })
  }
  return warnings
}

/** Sessions as kept and shown. */
export function summarizeSessions({ levels }: SessionEffects): TableSession[] {
  return levels.map(({ session, runs, logShift, standardDeviation }) => {
    const percent = (z: number) => 100 * Math.expm1(logShift + z * standardDeviation)
    return {
      session,
      runs,
      shiftPercent: percent(0),
      interval95Percent: [percent(-Z95), percent(Z95)],
    }
  })
}

function signed(percent: number): string {
  return `${percent > 0 ? '+' : ''}${percent.toFixed(2)}`
}
