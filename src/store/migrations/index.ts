import type { Connection } from '../file/connection.js'
import { INITIAL } from './0001-initial.js'
import { IMPORTED_TABLES } from './0002-imported-tables.js'
import { RUN_CLOCK } from './0003-run-clock.js'
import { PRACTICE } from './0004-practice.js'
import { MOTOR } from './0005-motor.js'
import { addChecksums } from './0006-checksums.js'
import { CUT_NOTES } from './0007-cut-notes.js'
import { addMeasuringSessions } from './0008-measuring-sessions.js'
import { addAxisWays } from './0009-axis-ways.js'
import { addAxisPush } from './0010-axis-push.js'
import { addAxisLettersAndRanges } from './0011-axis-letters-and-ranges.js'
import { addRotaryAxis } from './0012-rotary-axis.js'

/** A step: SQL, or what does it inside the step's transaction. */
export type Migration = string | ((connection: Connection) => void)

/** The steps from an empty file to today's schema, in order; step n leaves `user_version` n. Never edit a released step. */
export const MIGRATIONS: readonly Migration[] = [
  INITIAL,
  IMPORTED_TABLES,
  RUN_CLOCK,
  PRACTICE,
  MOTOR,
  addChecksums,
  CUT_NOTES,
  addMeasuringSessions,
  addAxisWays,
  addAxisPush,
  addAxisLettersAndRanges,
  addRotaryAxis,
]
