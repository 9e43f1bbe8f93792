import { monotonicS } from '../../ingest/index.js'
import {
  MISSED_S,
  numberAt,
  type PracticeMovement,
  passesAtS,
  SLIP_S,
} from '../../planning/practice/index.js'
import type { PracticeRound } from '../../regression/index.js'
import type { Keys } from '../terminal/keys.js'
import { paint, ringBell, say, showStatus } from '../terminal/terminal.js'

/** The number is shown anew this often, ms. Judgement: as fast as a quick readout. */
const REFRESH_MS = 30
/** Pause before the next round, ms. Judgement: to read the last one. */
const PAUSE_MS = 700

/** Times all movements; a slip or a missed mark is told and made again. Null where the person leaves. */
export async function timeMovements(
  keys: Keys,
  movements: readonly PracticeMovement[],
): Promise<PracticeRound[] | null> {
  const rounds: PracticeRound[] = []
  while (rounds.length < movements.length) {
    const movement = movements[rounds.length]!
    say('')
    say(
      paint(
        'bold',
        `Round ${rounds.length + 1} of ${movements.length}: press SPACE at ${shown(movement.startMark)} and at ${shown(movement.stopMark)}.`,
      ),
    )
    const outcome = await timeMovement(keys, movement)
    if (outcome === 'left') return null
    if (outcome === 'slip') say('  Too far off to be a press at the mark, or missed: once more.')
    else {
      rounds.push(outcome)
      say(`  start ${late(outcome.startLateS)}, stop ${late(outcome.stopLateS)}`)
    }
    await new Promise((resolve) => setTimeout(resolve, PAUSE_MS))
  }
  return rounds
}

async function timeMovement(
  keys: Keys,
  movement: PracticeMovement,
): Promise<PracticeRound | 'slip' | 'left'> {
  const begunS = monotonicS()
  const show = (): void =>
    showStatus(`     ${shown(numberAt(movement, monotonicS() - begunS))}     SPACE at the marks · Q leaves`)
  show()
  const refresh = setInterval(show, REFRESH_MS)
  try {
    const startLateS = await pressAt(keys, begunS + passesAtS(movement, movement.startMark))
    if (typeof startLateS === 'string') return startLateS
    const stopLateS = await pressAt(keys, begunS + passesAtS(movement, movement.stopMark))
    if (typeof stopLateS === 'string') return stopLateS
    ringBell()
    return { startLateS, stopLateS }
  } finally {
    clearInterval(refresh)
  }
}

/** How late the next press was for a moment of the monotonic clock. */
async function pressAt(keys: Keys, trueS: number): Promise<number | 'slip' | 'left'> {
  for (;;) {
    const press = await nextKey(keys, trueS + MISSED_S)
    if (press === null) return 'slip'
    if (press.key === 'q' || press.key === 'interrupt') return 'left'
    if (press.key !== 'space') continue
    const lateS = press.timeS - trueS
    return Math.abs(lateS) > SLIP_S ? 'slip' : lateS
  }
}

/** The next key, or null where none comes until then. */
async function nextKey(keys: Keys, untilS: number): Promise<Awaited<ReturnType<Keys['next']>> | null> {
  let timer: NodeJS.Timeout | undefined
  const missed = new Promise<null>((resolve) => {
    timer = setTimeout(() => resolve(null), 1000 * Math.max(0, untilS - monotonicS()))
  })
  try {
    return await Promise.race([keys.next(), missed])
  } finally {
    clearTimeout(timer)
  }
}

function shown(value: number): string {
  return value.toFixed(3)
}

function late(valueS: number): string {
  return `${Math.abs(valueS).toFixed(3)} s ${valueS < 0 ? 'early' : 'late'}`
}
