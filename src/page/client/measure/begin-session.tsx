import { useState } from 'preact/hooks'
import { countOf } from '../../../text/count-of.js'
import { parseNumber } from '../../../units/index.js'
import type { ExpectedAnswer } from '../../api.js'
import { MOST_PERCENT } from '../../limits.js'
import { tell } from '../model/server.js'
import { plainNumber } from '../model/typed.js'
import { type Begin, useBegin } from '../model/use-begin.js'
import { usePage } from '../model/use-page.js'
import { Form } from '../parts/form.js'
import { Notice } from '../parts/notice.js'
import { RunList } from '../parts/run-list.js'
import { SourceChoice } from '../parts/source-choice.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'
import { FitButton } from './finish.js'
import { useSettled } from './use-settled.js'
import { SWEEP_UNTIL_GOOD, type Way, WayFields, waysOf } from './ways.js'

/** How to measure: what is likely to be wanted is set, so that one tap begins; the rest lies under "Change how". */
export function BeginSession() {
  const { axis, data } = usePage()
  return (
    <section class="measure">
      <h1>Measure {axis.name}</h1>
      <BeginForm />
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

function BeginForm() {
  const { start, axis } = usePage()
  const [asked, change] = useBegin()
  const [open, setOpen] = useState(false)
  const { busy, trouble, run } = useAction()
  const { answer: expected } = useAnswer<ExpectedAnswer>(useSettled(expectedFor(axis.id, asked)))
  const ways = waysOf(start.procedures, asked.source, axis)
  const way = ways.find(({ name }) => name === asked[asked.source]) ?? ways[0]!
  return (
    <Form onSend={() => run(() => begin(axis.id, way, asked))}>
      <SourceChoice
        legend="Measure by"
        name="begin-source"
        value={asked.source}
        onChange={(source) => change({ source })}
      />
      <p class="way">
        <strong>{way.title}</strong>
        {/* Room of its own from the start: what comes later must not push down what a finger is about to touch. */}
        <small class="takes">{takes(expected, way)}</small>
      </p>
      <div class="buttons">
        <button type="submit" class="main huge" disabled={busy}>
          Begin
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>Change how</summary>
        <WayFields
          ways={ways}
          way={way}
          asked={asked}
          onChange={change}
          takes={(one) => takes(expected, one)}
        />
      </details>
    </Form>
  )
}

async function begin(axisId: number, way: Way, { source, within, directions }: Begin): Promise<void> {
  if (way.kind === 'sweep') {
    // Refused here where it is not a number.
    if (way.name === SWEEP_UNTIL_GOOD) parseNumber(within, 'How well the feeds should be known')
    location.hash = '#/measure/sweep'
  } else if (way.kind === 'procedure') {
    await tell('session/begin', { axisId, procedure: way.name })
  } else {
    const withinPercent = parseNumber(within, 'How well the feeds should be known')
    const asked = { withinPercent, percentAlone: false, directions: [...directions], source }
    await tell('session/good-enough', { axisId, ...asked })
  }
}

/** Asks what each way takes for what is wished for; for the usual percentage while what is typed is none. */
function expectedFor(axisId: number, { within, directions }: Begin): string {
  const percent = plainNumber(within)
  const wished = percent > 0 && percent <= MOST_PERCENT ? `&within=${percent}` : ''
  return `expected?id=${axisId}${wished}${directions.length === 1 ? `&direction=${directions[0]}` : ''}`
}

/** What a way is likely to take and to give; a blank until the program has worked it out. */
function takes(expected: ExpectedAnswer | null, way: Way): string {
  const found = expected && likely(expected, way)
  if (!found) return '\u00a0'
  const { runs, minutes, width } = found
  if (runs === 0) return 'No more runs are worth making for this.'
  return `about ${countOf(runs, 'run')}, ${countOf(Math.round(minutes), 'minute')}.${width === undefined ? '' : ` ${width}`}`
}

interface Likely {
  readonly runs: number
  readonly minutes: number
  readonly width?: string
}

function likely(expected: ExpectedAnswer, { kind, name, source }: Way): Likely | null | undefined {
  if (kind === 'procedure') return expected.procedures.find((one) => one.name === name)
  if (kind === 'sweep' && name !== SWEEP_UNTIL_GOOD) return expected.sweeps
  const found =
    kind === 'sweep' ? expected.sweepsUntilGood : expected.goodEnough.find((one) => one.source === source)
  return found && { ...found, width: expected.goodEnoughWidth }
}
