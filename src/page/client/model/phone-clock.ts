import type { ClockExchange } from '../../api.js'
import { tell } from './server.js'

/** Exchanges in one go. Judgement: the shortest way of a few is close to the shortest there is. */
const EXCHANGES = 6

/** This device's clock, s: it runs evenly and goes on over a reload of the page. */
export function phoneNowS(): number {
  return (performance.timeOrigin + performance.now()) / 1000
}

/** When an event happened, by the same clock: the browser stamps it before any script runs. */
export function phoneTimeS(event: Event): number {
  return (performance.timeOrigin + event.timeStamp) / 1000
}

/** Asks the laptop for its clock a few times. @throws where it cannot be reached */
export async function exchangeClocks(): Promise<ClockExchange[]> {
  const exchanges: ClockExchange[] = []
  for (let count = 0; count < EXCHANGES; count += 1) {
    const sentS = phoneNowS()
    const { receivedS, sentS: serverSentS } = await tell('clock', {})
    exchanges.push({ sentS, serverReceivedS: receivedS, serverSentS, receivedS: phoneNowS() })
  }
  return exchanges
}
