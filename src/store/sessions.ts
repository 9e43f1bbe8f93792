import type { NewSession, Session } from './entities.js'

export declare class Sessions {
  start(session: NewSession): Session
  /** @throws UsageError `unknown-session` */
  get(sessionId: number): Session
  /** The newest session of this axis that was not ended, or null. */
  inProgress(axisId: number): Session | null
  end(sessionId: number, nowIso: string): void
  /** Steps of the plan with at least one run that is accepted and not dropped, rising. */
  doneSteps(sessionId: number): number[]
}
