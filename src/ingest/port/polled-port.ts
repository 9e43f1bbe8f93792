import { DeviceError } from '../../errors/index.js'
import type { StampedLine } from '../lines/stamped-line.js'
import type { HostClock } from './host-clock.js'
import { type PollCounts, PolledAnswers } from './polled-answers.js'
import { DEFAULT_ANSWER_TIMEOUT_S, type Polling, requestBytes } from './polled-request.js'

/** What polling needs of a port and of its listener. */
interface PolledPortOptions {
  readonly write: (bytes: Buffer) => void
  readonly clock: HostClock
  readonly onAnswer: (line: StampedLine) => void
  readonly onUnasked: (line: StampedLine) => void
}

/** A port whose readout is asked at intervals. */
export interface PolledPort {
  /** Takes a line that came. */
  readonly take: (line: StampedLine) => void
  readonly counts: () => PollCounts
  readonly stop: () => void
}

/**
 * Time, s, in which what was still under way when the port was opened comes and answers nothing of ours.
 * Judgement: a line and an adapter's timer.
 */
const SETTLE_S = 0.2

/**
 * Asks a readout at its interval and never while an answer is open.
 *
 * @throws DeviceError `bad-request` for a request that cannot be sent
 */
export function startPolling(polling: Polling, options: PolledPortOptions): PolledPort {
  const bytes = requestBytes(polling.request)
  if (bytes === null) {
    throw new DeviceError(
      'bad-request',
      `The request ${JSON.stringify(polling.request)} cannot be sent to a readout.`,
      'Use 1 to 64 bytes; escapes are \\r, \\n, \\t, \\0, \\\\ and \\xHH.',
    )
  }
  const request = Buffer.from(bytes)
  const echo = request.toString('latin1').trim()
  const answers = new PolledAnswers({
    intervalS: polling.intervalS,
    answerTimeoutS: polling.answerTimeoutS ?? DEFAULT_ANSWER_TIMEOUT_S,
    onAnswer: options.onAnswer,
    onUnasked: options.onUnasked,
  })
  const { nowS } = options.clock
  let dropLook = options.clock.after(SETTLE_S, look)

  function look(): void {
    if (answers.due(nowS())) {
      // Stamped before it is written: the reading cannot have been taken earlier.
      answers.sent(nowS())
      options.write(request)
    }
    lookAgain()
  }
  function lookAgain(): void {
    dropLook()
    dropLook = options.clock.after(Math.max(0, answers.lookAtS - nowS()), look)
  }
  return {
    take: (line) => {
      // Some readouts repeat what they were asked.
      if (echo !== '' && line.text.trim() === echo) return
      answers.take(line)
      lookAgain()
    },
    counts: () => answers.counts,
    stop: () => dropLook(),
  }
}

/** Not an answer came for `silenceS` seconds. */
export function portUnanswered(path: string, silenceS: number, requests: number): DeviceError {
  return new DeviceError(
    'port-silent',
    `The readout on the serial port ${path} answered none of ${requests} requests in ${silenceS} s.`,
    'Check that it is on, that the cable carries both ways, the baud rate, and that the request in the profile is the one it answers.',
  )
}
