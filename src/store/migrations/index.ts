import { INITIAL } from './0001-initial.js'
import { IMPORTED_TABLES } from './0002-imported-tables.js'
import { RUN_CLOCK } from './0003-run-clock.js'
import { PRACTICE } from './0004-practice.js'
import { MOTOR } from './0005-motor.js'

/** The steps from an empty file to today's schema, in order; step n leaves `user_version` n. Never edit a released step. */
export const MIGRATIONS: readonly string[] = [INITIAL, IMPORTED_TABLES, RUN_CLOCK, PRACTICE, MOTOR]
