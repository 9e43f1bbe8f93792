import type { PracticeRound } from '../regression/index.js'
import type { Connection } from './file/connection.js'
import { isNumber, listOf, objectOf } from './file/shapes.js'
import { toJson } from './file/stored-values.js'

/** One exercise of a person, as it was pressed. */
export interface Practice {
  readonly person: string
  readonly at: string
  readonly rounds: readonly PracticeRound[]
}

const areRounds = listOf(objectOf<PracticeRound>({ startLateS: isNumber, stopLateS: isNumber }))

interface PracticeRow {
  person: string
  at: string
  rounds: string
}

/** Timing exercises of the people who use the stopwatch. */
export class Practices {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  add({ person, at, rounds }: Practice): void {
    this.#connection.write(() =>
      this.#connection.insert('practice', { person, at, rounds: toJson(rounds, 'a press of a timing test') }),
    )
  }

  /** The newest exercise of a person (capitals aside), or null. */
  latest(person: string): Practice | null {
    this.#connection.refuseDisorder('practice')
    const row = this.#connection.row<PracticeRow>(
      'practice',
      'WHERE person = ? ORDER BY at DESC, id DESC LIMIT 1',
      person,
    )
    return row === undefined ? null : this.#read(row)
  }

  /** The newest exercise of everyone, by name. */
  latestOfAll(): Practice[] {
    return this.#connection
      .all<{ person: string }>('SELECT DISTINCT person FROM practice ORDER BY person')
      .flatMap(({ person }) => this.latest(person) ?? [])
  }

  #read(row: PracticeRow): Practice {
    return {
      person: row.person,
      at: row.at,
      rounds: this.#connection.json(row.rounds, `a timing test of ${row.person}`, areRounds),
    }
  }
}
