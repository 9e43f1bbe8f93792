import { useState } from 'preact/hooks'
import { TablepaceError } from '../../../errors/index.js'
import { dialForFeed } from '../../../planning/lookup/lookups.js'
import type { StoredTable } from '../../../store/index.js'
import { countOf } from '../../../text/count-of.js'
import { feedUnit, formatDial, parseFeedMmPerMin } from '../../../units/index.js'
import type { PageRun } from '../../api.js'
import type { ExplanationAnswer } from '../../machine-api.js'
import { onPage } from '../../wording.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Form } from '../parts/form.js'
import { Heads } from '../parts/heads.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAnswer } from '../parts/use-answer.js'
import { wayShown } from '../parts/way-words.js'
import { feedWords, when, withinWords } from '../parts/words.js'

/** Where a number of a table comes from: its uncertainty by source, the runs behind it, and those left out. */
export function Explanation({ table }: { table: StoredTable }) {
  const { unit } = usePage()
  const [by, setBy] = useState<'dial' | 'feed'>('dial')
  const [text, setText] = useState('')
  const [asked, setAsked] = useState<number | string | null>(null)
  const ask = (): void => {
    try {
      setAsked(
        by === 'dial' ? text.trim() : dialForFeed(table, parseFeedMmPerMin(text, unit, 'Feed')).dial.value,
      )
      setTrouble(null)
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      setTrouble(onPage(error.inFull))
    }
  }
  const [trouble, setTrouble] = useState<string | null>(null)
  return (
    <>
      <h2>Where a number comes from</h2>
      <Form onSend={() => ask()}>
        <Choice
          legend="Asked by"
          name="explained-by"
          value={by}
          options={[
            { value: 'dial', label: 'dial' },
            { value: 'feed', label: 'feed' },
          ]}
          onChange={setBy}
        />
        <TextField
          label={by === 'dial' ? 'Dial setting' : `Feed, ${feedUnit(unit)}`}
          value={text}
          onText={setText}
          numeric
        />
        <div class="buttons">
          <button type="submit" class="main" disabled={text.trim() === ''}>
            Explain
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </Form>
      {asked !== null && <Explained table={table} dial={asked} />}
    </>
  )
}

function Explained({ table, dial }: { table: StoredTable; dial: number | string }) {
  const { axis, unit } = usePage()
  const { direction, version } = table
  const { answer, trouble } = useAnswer<ExplanationAnswer>(
    `explain?id=${axis.id}&direction=${direction}&version=${version}&dial=${encodeURIComponent(dial)}`,
  )
  if (trouble !== null) return <Notice kind="trouble">{trouble}</Notice>
  if (answer === null) return <p>Working it out …</p>
  const { feed } = answer.answer
  return (
    <div role="status">
      <p class="strong">
        Dial {formatDial(answer.answer.dial, axis)} {wayShown(axis, direction)}:{' '}
        {feedWords(feed.feedMmPerMin, feed.interval95, unit)} (
        {withinWords(feed.feedMmPerMin, feed.interval95)})
      </p>
      {answer.budget !== null && <Budget budget={answer.budget} />}
      {answer.notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
      <h3>{countOf(answer.runs.length, 'run')} went into this table</h3>
      <ul class="all-runs">
        {answer.runs.map(({ run, weight }) => (
          <li key={run.id}>
            <RunLine run={run} />
            {weight !== null && (
              <p class="quiet">moves this feed by {weight.toFixed(2)} % where it is off by 1 %</p>
            )}
          </li>
        ))}
      </ul>
      {answer.leftOut.length > 0 && (
        <>
          <h3>{answer.leftOut.length} left out</h3>
          <ul class="all-runs">
            {answer.leftOut.map(({ run, why }) => (
              <li key={run.id}>
                <RunLine run={run} />
                <p>{why}</p>
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  )
}

function RunLine({ run }: { run: PageRun }) {
  const { axis, unit } = usePage()
  return (
    <p class="head">
      <strong>
        {formatDial(run.dial, axis)} {wayShown(axis, run.direction)}
      </strong>{' '}
      {run.feedMmPerMin === null ? 'no feed' : feedWords(run.feedMmPerMin, run.interval95, unit)}{' '}
      <small class="quiet">
        {run.source}, {when(run.createdAt)}
      </small>
    </p>
  )
}

function Budget({ budget }: { budget: NonNullable<ExplanationAnswer['budget']> }) {
  const percent = (value: number | null): string => (value === null ? '–' : `${value.toFixed(3)} %`)
  return (
    <table>
      <caption>
        Standard uncertainty in percent of the feed: of the mean, and of the next time you set it
      </caption>
      <Heads names={['From', 'Mean', 'Next time']} />
      <tbody>
        {budget.lines.map((line) => (
          <tr key={line.source}>
            <th scope="row">{line.meaning}</th>
            <td>{percent(line.meanPercent)}</td>
            <td>{percent(line.nextPercent)}</td>
          </tr>
        ))}
        <tr>
          <th scope="row">all together</th>
          <td>{percent(budget.combinedPercent.mean)}</td>
          <td>{percent(budget.combinedPercent.next)}</td>
        </tr>
      </tbody>
    </table>
  )
}
