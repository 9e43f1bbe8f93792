import { UsageError } from '../../../errors/index.js'
import { adviseAxis, cautionsFor, stopDistances, timingOf } from '../../../jobs/index.js'
import type { Instrument } from '../../../planning/advice/index.js'
import { pressErrors } from '../../../regression/index.js'
import type { Store } from '../../../store/index.js'
import { parseFeedMmPerMin, parseLengthMm, parseNumber } from '../../../units/index.js'
import {
  adviceReasons,
  adviceSentences,
  boundText,
  stopLimits,
  stopSentences,
  stopSettingText,
} from '../../../words/index.js'
import type {
  AdviceAnswer,
  AdviceRequest,
  PeopleAnswer,
  StopsAnswer,
  StopsRequest,
} from '../../machine-api.js'
import { adviceRequest, practiceRequest, stopsRequest } from '../../machine-requests.js'
import { onPage } from '../../wording.js'
import { type Desk, nowIso } from '../desk.js'
import { postRoute, type Route } from '../http/post-route.js'

/** Where the stop goes, how many runs a feed takes, and how people press. */
export function planRoutes({ store, send }: Desk): Route[] {
  return [
    postRoute('stops', stopsRequest, (request) => stops(store, request)),
    postRoute('advice', adviceRequest, (request) => advice(store, request)),
    ['GET /api/people', () => people(store)],
    postRoute('practice', practiceRequest, ({ person, rounds }) => {
      store.practices.add({ person, rounds, at: nowIso() })
      // The measuring views offer the people by name.
      send({ kind: 'machines' })
    }),
  ]
}

/** @throws DataError as `stopDistances` does */
function stops(store: Store, { axisId, unit, margin }: StopsRequest): StopsAnswer {
  const axis = store.axes.byId(axisId)
  const marginMm = margin.trim() === '' ? 0 : parseLengthMm(margin, unit, 'Margin')
  if (marginMm < 0) {
    throw new UsageError(
      'bad-margin',
      'A margin cannot be below zero.',
      'Leave it empty, or write it like 0.1in.',
    )
  }
  const found = stopDistances(store, axis, { dials: null, direction: null, marginMm })
  const [answer, ...why] = stopSentences(found, unit).map(onPage)
  return {
    answer: answer ?? '',
    why,
    limits: stopLimits(found, unit).map(onPage),
    cautions: cautionsFor('beforeStops').cautions,
    coasts: found.coasts.map((one) => ({
      setting: stopSettingText(one, found),
      feedMmPerMin: one.feedMmPerMin,
      coasts: one.coasts,
      meanMm: one.meanMm,
      below: boundText(one.upper95Mm, unit),
    })),
  }
}

/** @throws UsageError in the names of the page's fields; DataError `not-reachable` */
function advice(store: Store, request: AdviceRequest): AdviceAnswer {
  const { axisId, unit, direction } = request
  const axis = store.axes.byId(axisId)
  const machine = store.machines.byId(axis.machineId)
  const feedMmPerMin = positive(parseFeedMmPerMin(request.feed, unit, 'Feed'), 'Feed')
  const within = positive(parseNumber(request.within, 'How well'), 'How well') / 100
  const { instrument, sentence } = instrumentOf(store, request)
  const answer = adviseAxis(store, { machine, axis }, { feedMmPerMin, within, instrument, direction })
  const told = adviceSentences(answer, feedMmPerMin, unit)
  return { answer: told.answer, why: [...adviceReasons(answer, sentence).map(onPage), ...told.next] }
}

function instrumentOf(store: Store, { unit, timedBy }: AdviceRequest) {
  if (timedBy.by === 'stopwatch') {
    const { timing, sentence } = timingOf(store, timedBy.person === '' ? undefined : timedBy.person)
    const spread = timing === null ? {} : { pressSpreadS: timing.pressSpreadS }
    return { instrument: { kind: 'stopwatch', ...spread } satisfies Instrument, sentence }
  }
  const rateHz = positive(parseNumber(timedBy.rate, 'Readings a second'), 'Readings a second')
  const stepMm = positive(parseLengthMm(timedBy.step, unit, 'Step of the readout'), 'Step of the readout')
  return {
    instrument: { kind: 'readout', rateHz, stepMm } satisfies Instrument,
    sentence: `The readout is taken to send ${rateHz} lines a second in steps of ${timedBy.step}.`,
  }
}

function positive(value: number, what: string): number {
  if (value > 0) return value
  throw new UsageError('bad-number', `${what}: it must be above zero.`, 'Check what was typed.')
}

function people(store: Store): PeopleAnswer {
  return {
    people: store.practices.latestOfAll().map(({ person, at, rounds }) => {
      const { latenessS, biasS, biasUncertaintyS, spreadS, pressSpreadS } = pressErrors(rounds)
      return { person, at, rounds: rounds.length, latenessS, biasS, biasUncertaintyS, spreadS, pressSpreadS }
    }),
  }
}
