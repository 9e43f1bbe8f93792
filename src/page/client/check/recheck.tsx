import { useEffect, useState } from 'preact/hooks'
import { formatDial, formatFeed, parseNumber, printedSign } from '../../../units/index.js'
import type { HistoryAnswer, RecheckAnswer } from '../../api.js'
import { ask, tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Notice } from '../parts/notice.js'
import { SessionProgress } from '../parts/session-progress.js'
import { Sheet } from '../parts/sheet.js'
import { useAction } from '../parts/use-action.js'
import { when } from '../parts/words.js'

/** Does the table still hold? A guided recheck with its verdict, and what was done so far. */
export function Recheck() {
  const { data, axis } = usePage()
  const [answer, setAnswer] = useState<RecheckAnswer | null>(null)
  const session = data.session?.recheck ? data.session : null
  return (
    <section>
      <h1>Recheck of {axis.name}</h1>
      {answer !== null && <Verdict answer={answer} onDone={() => setAnswer(null)} />}
      {session !== null ? (
        <SessionProgress session={session} finish={<JudgeButton onAnswer={setAnswer} />} />
      ) : data.tables.length === 0 ? (
        <Notice kind="note">There is no table to recheck yet.</Notice>
      ) : (
        answer === null && <BeginRecheck />
      )}
      <History />
    </section>
  )
}

function BeginRecheck() {
  const { axis } = usePage()
  const [within, setWithin] = useState('3')
  const [reason, setReason] = useState('')
  const [source, setSource] = useState<'readout' | 'stopwatch'>('readout')
  const { busy, trouble, run } = useAction()
  const begin = (): Promise<boolean> =>
    run(async () => {
      const withinPercent = parseNumber(within, 'How far a feed may have moved')
      await tell('recheck/begin', { axisId: axis.id, withinPercent, reason, source })
    })
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void begin()
      }}
    >
      <label>
        What was done to the machine
        <input
          value={reason}
          required
          placeholder="gibs adjusted"
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
      <label>
        How far a feed may have moved, either way, %
        <input value={within} inputMode="decimal" onInput={(event) => setWithin(event.currentTarget.value)} />
      </label>
      <Choice
        legend="Timed by"
        name="recheck-source"
        value={source}
        options={[
          { value: 'readout' as const, label: 'readout' },
          { value: 'stopwatch' as const, label: 'stopwatch' },
        ]}
        onChange={setSource}
      />
      <div class="buttons">
        <button type="submit" class="main" disabled={busy || reason.trim() === ''}>
          Plan the runs
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}

function JudgeButton({ onAnswer }: { onAnswer: (answer: RecheckAnswer) => void }) {
  const { axis, data, refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const withinPercent = data.session?.recheck?.withinPercent ?? 3
  const judge = (): Promise<boolean> =>
    run(async () => {
      onAnswer(await tell('recheck/judge', { axisId: axis.id, withinPercent }))
      await refresh()
    })
  return (
    <>
      <div class="buttons">
        <button type="button" class="main" disabled={busy} onClick={judge}>
          {busy ? 'Judging …' : `Judge these runs within ${withinPercent} %`}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}

function Verdict({ answer, onDone }: { answer: RecheckAnswer; onDone: () => void }) {
  const { unit, axis, refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const kind = ({ holds: 'good', moved: 'trouble', undecided: 'note' } as const)[answer.verdict]
  const goOn = (): Promise<boolean> =>
    run(async () => {
      const { withinPercent, reason } = answer
      await tell('recheck/begin', { axisId: axis.id, withinPercent, reason, source: 'readout' })
      onDone()
    })
  const adopt = (): Promise<boolean> =>
    run(async () => {
      await tell('recheck/adopt', { axisId: axis.id })
      await refresh()
      onDone()
    })
  return (
    <div class="card">
      <Notice kind={kind}>
        <p class="strong">{answer.headline}</p>
        <p>{answer.reason}</p>
      </Notice>
      <table>
        <caption>Feeds of the table and now</caption>
        <thead>
          <tr>
            <th scope="col">Dial</th>
            <th scope="col">Table</th>
            <th scope="col">Now</th>
            <th scope="col">Difference</th>
            <th scope="col">Verdict</th>
          </tr>
        </thead>
        <tbody>
          {answer.marks.map((mark) => (
            <tr key={`${mark.dial} ${mark.direction}`}>
              <th scope="row">
                {formatDial(mark.dial)} {printedSign(mark.direction)}
              </th>
              <td>{formatFeed(mark.thenMmPerMin, null, unit)}</td>
              <td>{formatFeed(mark.nowMmPerMin, null, unit)}</td>
              <td>{mark.difference}</td>
              <td>{mark.verdict}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {answer.sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <div class="buttons">
        {answer.goOn && (
          <button type="button" class="main" disabled={busy} onClick={goOn}>
            Make these runs by readout
          </button>
        )}
        {answer.change !== null && (
          <button type="button" class="main" disabled={busy} onClick={adopt}>
            Make a new table: {answer.change}
          </button>
        )}
        <button type="button" onClick={onDone}>
          Done
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </div>
  )
}

function History() {
  const { axis, data } = usePage()
  const [history, setHistory] = useState<HistoryAnswer | null>(null)
  useEffect(() => {
    ask<HistoryAnswer>(`history?id=${axis.id}`)
      .then(setHistory)
      .catch(() => setHistory(null))
  }, [axis.id, data])
  if (history === null) return null
  return (
    <>
      <h2>History</h2>
      {history.state.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {history.chart !== null && <Sheet svg={history.chart} />}
      {history.entries.length === 0 && <p>Nothing was done yet.</p>}
      <ul class="entries">
        {history.entries.map(({ at, text }, index) => (
          // Entries of one moment differ in their text, and the list only grows at its top.
          <li key={`${at} ${history.entries.length - index}`}>
            <time datetime={at}>{when(at)}</time> {text}
          </li>
        ))}
      </ul>
    </>
  )
}
