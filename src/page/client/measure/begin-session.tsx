import { useEffect, useState } from 'preact/hooks'
import { formatDial, parseNumber } from '../../../units/index.js'
import type { ExpectedAnswer, StartAnswer } from '../../api.js'
import { ask, tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { FitButton } from '../parts/fit-button.js'
import { Notice } from '../parts/notice.js'
import { RunList } from '../parts/run-list.js'
import { useAction } from '../parts/use-action.js'

type Way = StartAnswer['procedures'][number]

/** How to measure: led from mark to mark, for so many passes or until the table is good enough, or run by run. */
export function BeginSession() {
  const { start, axis, data } = usePage()
  const [chosen, setChosen] = useState(start.procedures[0]?.name ?? '')
  const [within, setWithin] = useState('2')
  const { busy, trouble, run } = useAction()
  const expected = useExpected(axis.id)
  const begin = (): Promise<boolean> =>
    run(async () => {
      const source = UNTIL_GOOD.find(({ name }) => name === chosen)?.source
      if (source === undefined) await tell('session/begin', { axisId: axis.id, procedure: chosen })
      else {
        const withinPercent = parseNumber(within, 'How well the feeds shall be known')
        const asked = { withinPercent, percentAlone: false, directions: [1 as const, -1 as const], source }
        await tell('session/good-enough', { axisId: axis.id, ...asked })
      }
    })
  const choice = ({ name, title, source }: Way) => (
    <label class="check" key={name}>
      <input type="radio" name="procedure" checked={name === chosen} onChange={() => setChosen(name)} />
      <span>
        <strong>{title}</strong>
        <br />
        {HOW[name] ??
          (source === 'stopwatch' ? 'timed on this page by stopwatch' : 'followed on the position readout')}
        {/* A line of its own from the start: what comes later must not push down what a finger is about to touch. */}
        <small class="takes">{takes(expected, name, source)}</small>
      </span>
    </label>
  )
  return (
    <section>
      <h1>Measure {axis.name}</h1>
      <form
        class="card"
        onSubmit={(event) => {
          event.preventDefault()
          void begin()
        }}
      >
        <fieldset class="procedures">
          <legend>Be led from mark to mark</legend>
          {start.procedures.map(choice)}
          {UNTIL_GOOD.map(choice)}
        </fieldset>
        {UNTIL_GOOD.some(({ name }) => name === chosen) && (
          <label>
            How well the feeds shall be known, ± %
            <input
              value={within}
              inputMode="decimal"
              onInput={(event) => setWithin(event.currentTarget.value)}
            />
          </label>
        )}
        <p class="quiet">
          The marks of {axis.name}:{' '}
          {axis.marks.length === 0 ? 'none named yet' : axis.marks.map(formatDial).join(', ')}.
        </p>
        <div class="buttons">
          <button type="submit" class="main huge" disabled={busy}>
            Begin
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </form>
      <h2>Or single runs</h2>
      <div class="buttons even">
        <a class="button" href="#/measure/record">
          By readout
        </a>
        <a class="button" href="#/measure/stopwatch">
          By stopwatch
        </a>
        <a class="button" href="#/measure/film">
          By film
        </a>
      </div>
      {data.runs.length > 0 && (
        <>
          <h2>Runs so far</h2>
          <RunList most={8} />
          <FitButton />
        </>
      )}
    </section>
  )
}

/** Sessions that ask for the run that tells most, and end when the table is good enough. */
const UNTIL_GOOD: readonly Way[] = [
  { name: 'until-good-readout', title: 'Until the table is good enough', source: 'readout' },
  { name: 'until-good-stopwatch', title: 'Until the table is good enough', source: 'stopwatch' },
]

const HOW: Readonly<Record<string, string>> = {
  'until-good-readout': 'with the readout; asks for the run that tells most',
  'until-good-stopwatch': 'with your presses; asks for the run that tells most',
}

/** What each way is likely to take; null until the program has worked it out. */
function useExpected(axisId: number): ExpectedAnswer | null {
  const [expected, setExpected] = useState<ExpectedAnswer | null>(null)
  useEffect(() => {
    let over = false
    ask<ExpectedAnswer>(`expected?id=${axisId}`)
      .then((answer) => {
        if (!over) setExpected(answer)
      })
      // It is good to know and no more.
      .catch(() => {})
    return () => {
      over = true
    }
  }, [axisId])
  return expected
}

function takes(expected: ExpectedAnswer | null, name: string, source: Way['source']): string {
  const fixed = expected?.procedures.find((one) => one.name === name)
  const open = expected?.goodEnough.find((one) => one.source === source)
  const found = fixed ?? (UNTIL_GOOD.some((way) => way.name === name) ? open : undefined)
  return found === undefined ? '\u00a0' : `about ${found.runs} runs, ${Math.round(found.minutes)} minutes`
}
