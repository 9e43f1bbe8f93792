import { useState } from 'preact/hooks'
import { practiceMovements, USUAL_ROUNDS } from '../../../planning/practice/practice-plan.js'
import type { PracticeRound } from '../../../regression/index.js'
import type { PeopleAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { Form } from '../parts/form.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'
import { when } from '../parts/words.js'
import { PracticeMovementView } from './practice-movement.js'

const MOVEMENTS = practiceMovements(USUAL_ROUNDS)

/** Two minutes that measure how somebody presses a stopwatch; later timings of theirs know it. */
export function Practice() {
  const { answer, trouble: notLoaded, reload } = useAnswer<PeopleAnswer>('people')
  const [person, setPerson] = useState('')
  const [rounds, setRounds] = useState<readonly PracticeRound[] | null>(null)
  const [slips, setSlips] = useState(0)
  const { busy, trouble, run } = useAction()
  const keep = (made: readonly PracticeRound[]): Promise<boolean> =>
    run(async () => {
      await tell('practice', { person, rounds: [...made] })
      setRounds(null)
      await reload()
    })
  const done = (round: PracticeRound | null): void => {
    setSlips(round === null ? slips + 1 : 0)
    if (round === null || rounds === null) return
    const made = [...rounds, round]
    setRounds(made)
    if (made.length === MOVEMENTS.length) void keep(made)
  }
  const movement = rounds === null ? undefined : MOVEMENTS[rounds.length]
  return (
    <section>
      <h1>Timing test</h1>
      {rounds !== null && movement !== undefined ? (
        <div class="card">
          <p>
            Round {rounds.length + 1} of {MOVEMENTS.length}
          </p>
          {slips > 0 && <Notice kind="note">Too far off to be a press at the mark: once more.</Notice>}
          <PracticeMovementView key={`${rounds.length} ${slips}`} movement={movement} onDone={done} />
          <div class="buttons">
            <button type="button" onClick={() => setRounds(null)}>
              Cancel
            </button>
          </div>
        </div>
      ) : rounds !== null ? (
        <div class="card">
          <p>{busy ? 'Keeping it …' : 'All rounds are made.'}</p>
          {trouble !== null && (
            <div class="buttons">
              <button type="button" class="main" disabled={busy} onClick={() => keep(rounds)}>
                Keep it
              </button>
            </div>
          )}
        </div>
      ) : (
        <Form
          onSend={() => {
            setSlips(0)
            setRounds([])
          }}
        >
          <p>
            A number runs past two marks, ten times over. Press as it passes each, the way you would at the
            machine. The spread of your presses then goes with every timing in your name.
          </p>
          <TextField label="Who practises" value={person} onText={setPerson} />
          <div class="buttons">
            <button type="submit" class="main" disabled={person.trim() === ''}>
              Begin
            </button>
          </div>
        </Form>
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {notLoaded !== null && <Notice kind="trouble">{notLoaded}</Notice>}
      {answer !== null && answer.people.length > 0 && (
        <>
          <h2>What was measured</h2>
          <ul class="all-runs">
            {answer.people.map((one) => (
              <li key={one.person}>
                <p>
                  <strong>{one.person}</strong>, {when(one.at)}, {one.rounds} rounds
                </p>
                <p>
                  A press counts as ± {one.pressSpreadS.toFixed(3)} s (standard deviation). It comes{' '}
                  {Math.abs(one.latenessS).toFixed(3)} s {one.latenessS < 0 ? 'early' : 'late'} on average; of
                  that {one.biasS.toFixed(3)} ± {one.biasUncertaintyS.toFixed(3)} s stays in a timing.
                </p>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  )
}
