import type { Procedure, SessionPlan } from '../session-plan.js'

/** Reads a procedure from parsed JSON; `place` names the file in errors. @throws UsageError `bad-procedure` */
export declare function parseProcedure(json: unknown, place: string): Procedure

/** Reads back the plan a stored session carries. @throws DataError `bad-plan` */
export declare function parseSessionPlan(json: unknown): SessionPlan
