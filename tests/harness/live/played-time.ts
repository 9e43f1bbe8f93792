import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { pathToFileURL } from 'node:url'
import { temporaryFolder } from '../program.js'
import { loadedByPrograms } from '../standing/loaded-by-programs.js'

/** Played time of one program: its readouts tell it the time, and it tells how much of them it has taken in. */
export interface PlayedTime {
  /** What the program is to be started with. */
  readonly env: Readonly<Record<string, string>>
  /** So many bytes were sent to it. */
  readonly sent: (bytes: number) => void
  /** Resolves when no more than so many of the bytes sent are not yet taken in. */
  readonly roomFor: (bytes: number) => Promise<void>
  /** Whether all that was sent is taken in. */
  readonly isHeard: () => boolean
  /** The program has ended: nobody takes in what is sent. */
  readonly isOver: () => boolean
  /** What was sent and not taken in is lost, as when the cable is pulled. */
  readonly forget: () => void
}

/** How often the program's file is looked at, ms. */
const LOOK_EVERY_MS = 2

/** Begins played time for a program that is about to be started. */
export function playedTime(): PlayedTime {
  const file = join(temporaryFolder(), 'taken')
  let sent = 0
  const taken = (): number => {
    try {
      return Number(readFileSync(file, 'utf8'))
    } catch {
      return 0
    }
  }
  return {
    env: {
      TABLEPACE_PLAYED_CLOCK: file,
      NODE_OPTIONS: `--import=${pathToFileURL(loadedByPrograms('live/played-clock')).href}`,
    },
    sent: (bytes) => {
      sent += bytes
    },
    roomFor: async (bytes) => {
      while (sent - taken() > bytes) await sleep(LOOK_EVERY_MS)
    },
    isHeard: () => sent <= taken(),
    isOver: () => taken() === Number.POSITIVE_INFINITY,
    forget: () => {
      sent = taken()
    },
  }
}
