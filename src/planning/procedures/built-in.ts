import type { Procedure } from '../session-plan.js'

/** Names of the procedures that come with the program. */
export declare function builtInProcedureNames(): string[]

/** @throws UsageError `unknown-procedure` naming the known ones */
export declare function builtInProcedure(name: string): Procedure
