import { type Sentence, sentence, way } from '../errors/index.js'
import type { OtherNumber } from '../ingest/index.js'

/** That another axis moves while the asked one stands still. */
export function otherAxisText({ label, place }: OtherNumber, axis: string): Sentence {
  const moves = label === null ? `Number ${place} of the lines moves` : `${label} moves`
  return sentence`${moves} while ${axis} stands still. Engage the feed of ${axis}, or say which number is ${axis}${way('column')}.`
}
