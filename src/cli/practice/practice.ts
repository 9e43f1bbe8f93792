import { DataError, UsageError } from '../../errors/index.js'
import { minutesOf } from '../../planning/index.js'
import { practiceMovements, practiceTimeS, USUAL_ROUNDS } from '../../planning/practice/index.js'
import { DEFAULT_PRESS_SPREAD_S, pressErrors, ROUNDS_FOR_SPREAD } from '../../regression/index.js'
import type { Practice, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { parseNumber } from '../../units/index.js'
import { type GlobalOptions, nowIso, withStore } from '../context.js'
import { textTable } from '../render/text-table.js'
import { openKeys } from '../terminal/keys.js'
import { canAsk, printJson, printResult, say } from '../terminal/terminal.js'
import { timeMovements } from './practice-screen.js'

export interface PracticeOptions extends GlobalOptions {
  readonly person?: string
  readonly rounds?: string
  readonly show?: boolean
}

/** `practice`: measures how a person presses a stopwatch, or shows what was measured. */
export async function practice(options: PracticeOptions): Promise<void> {
  if (options.show) {
    return withStore(options, 'read', (store) => present(practicesOf(store, options.person), options))
  }
  const person = personOf(options)
  const rounds = roundsOf(options)
  if (!canAsk()) {
    throw new UsageError(
      'needs-terminal',
      'The timing test needs a terminal.',
      'Run it at a terminal, or give --show to see what was measured.',
    )
  }
  // Opened first: nobody should practise for two minutes and then hear that it cannot be kept.
  const done = await withStore(options, 'write', async (store) => {
    const made: Practice = { person, rounds: await timedRounds(rounds), at: nowIso() }
    store.practices.add(made)
    return made
  })
  present([done], options)
  say(`Timings with --person "${person}" use it from now on.`)
}

async function timedRounds(rounds: number): Promise<Practice['rounds']> {
  const movements = practiceMovements(rounds)
  say(`${countOf(rounds, 'movement')}, about ${countOf(minutesOf(practiceTimeS(movements)), 'minute')}.`)
  say(
    'A number runs past two marks, like a readout. Press SPACE as it passes each mark, just as you would at the machine.',
  )
  const keys = openKeys()
  try {
    const made = await timeMovements(keys, movements)
    if (made !== null) return made
  } finally {
    keys.close()
  }
  throw new UsageError('abandoned', 'Stopped before the end; nothing was stored.', 'Start again when ready.')
}

function practicesOf(store: Store, person: string | undefined): Practice[] {
  const found =
    person === undefined
      ? store.practices.latestOfAll()
      : [store.practices.latest(person)].filter((one) => one !== null)
  if (found.length > 0) return found
  throw new DataError(
    'no-practice',
    person === undefined
      ? 'Nobody has taken the timing test yet.'
      : `${person} has not taken the timing test yet.`,
    `Until then the timing error of a press is assumed to be ±${DEFAULT_PRESS_SPREAD_S} s (standard deviation), the published spread of timekeepers (American Journal of Physics 87 (2019) 110). Run: tablepace practice --person NAME`,
  )
}

function personOf({ person }: PracticeOptions): string {
  if (person !== undefined && person.trim() !== '') return person.trim()
  throw new UsageError(
    'person-missing',
    'It is not clear who is being timed.',
    'Give --person NAME, or --show to see what was measured.',
  )
}

function roundsOf({ rounds }: PracticeOptions): number {
  if (rounds === undefined) return USUAL_ROUNDS
  const count = parseNumber(rounds, '--rounds')
  if (Number.isInteger(count) && count >= ROUNDS_FOR_SPREAD && count <= 100) return count
  throw new UsageError(
    'bad-rounds',
    `--rounds must be a whole number from ${ROUNDS_FOR_SPREAD} to 100.`,
    `${USUAL_ROUNDS} rounds take about two minutes.`,
  )
}

function present(practices: readonly Practice[], options: GlobalOptions): void {
  const people = practices.map(({ person, at, rounds }) => ({ person, at, ...pressErrors(rounds) }))
  if (options.json) {
    printJson({ people })
    return
  }
  printResult(
    textTable(
      [
        { title: 'person', align: 'left' },
        { title: 'day', align: 'left' },
        { title: 'rounds', align: 'right' },
        { title: 'late by', align: 'right' },
        { title: 'bias of a timing', align: 'right' },
        { title: 'spread of a press', align: 'right' },
        { title: 'used for a press', align: 'right' },
      ],
      people.map((one) => [
        one.person,
        one.at.slice(0, 10),
        String(one.rounds),
        `${one.latenessS.toFixed(3)} s`,
        `${one.biasS.toFixed(3)} ± ${one.biasUncertaintyS.toFixed(3)} s`,
        `${one.spreadS.toFixed(3)} s`,
        `${one.pressSpreadS.toFixed(3)} s`,
      ]),
    ),
  )
}
