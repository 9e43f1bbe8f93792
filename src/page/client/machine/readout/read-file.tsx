import { useState } from 'preact/hooks'
import { formatDial } from '../../../../units/index.js'
import type { PortsAnswer } from '../../../api.js'
import type { ReadFileAnswer } from '../../../machine-api.js'
import { upload } from '../../model/files.js'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { Result } from '../../parts/result.js'
import { SelectField } from '../../parts/select-field.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { useAnswer } from '../../parts/use-answer.js'
import { wayShown } from '../../parts/way-words.js'
import { feedWords } from '../../parts/words.js'

/** Reads runs from a file: a recorded readout, a stopwatch sheet, or timed readings. */
export function ReadFile() {
  const { axis } = usePage()
  const known = useAnswer<PortsAnswer>('ports').answer?.profiles ?? []
  const [file, setFile] = useState<File | null>(null)
  const [fields, setFields] = useState({ dial: '', settings: '', profile: '' })
  const [answer, setAnswer] = useState<ReadFileAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const change = (changes: Partial<typeof fields>): void => setFields({ ...fields, ...changes })
  const read = (): Promise<boolean> =>
    run(async () => {
      if (file === null) return
      setAnswer(null)
      setAnswer(await upload('recordings', file, { id: String(axis.id), ...fields }))
    })
  return (
    <div class="card">
      <h2>Read runs of {axis.name} from a file</h2>
      <p>
        A recorded readout (JSON lines, or CSV with t and position), a stopwatch sheet (CSV with dial,
        direction, distance and time), or timed readings (CSV with dial, direction, run, time and position).
      </p>
      <form
        onSubmit={(event) => {
          event.preventDefault()
          void read()
        }}
      >
        <label>
          File with runs
          <input
            type="file"
            accept=".csv,.jsonl,.txt"
            onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)}
          />
        </label>
        <details>
          <summary>For a recorded readout</summary>
          <div class="fields">
            <TextField
              label="Dial setting"
              value={fields.dial}
              onText={(dial) => change({ dial })}
              hint="where the dial stood at one setting"
              numeric
            />
            <TextField
              label="Settings in order"
              value={fields.settings}
              onText={(settings) => change({ settings })}
              hint="where it was turned on the way, such as 1, 2, 3, 5"
            />
            <SelectField
              label="Lines"
              value={fields.profile}
              none="work the format out from the lines"
              options={known.map(({ name, description }) => ({
                value: name,
                label: `${name}: ${description}`,
              }))}
              onChange={(profile) => change({ profile })}
            />
          </div>
        </details>
        <div class="buttons">
          <button type="submit" disabled={busy || file === null}>
            {busy ? 'Reading …' : 'Read the runs'}
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </form>
      {answer !== null && <Told answer={answer} />}
    </div>
  )
}

function Told({ answer: { notes, takes } }: { answer: ReadFileAnswer }) {
  const { axis, unit } = usePage()
  const runs = takes.flatMap((take) => take.runs)
  const counting = runs.filter((run) => run.rejection === null && run.droppedAt === null)
  return (
    <Result>
      <p class="strong">
        {counting.length === 1 ? 'One run counts.' : `${counting.length} runs count.`} They stand at{' '}
        <a href="#/machine/runs">Runs</a>.
      </p>
      {notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
      <ul class="all-runs">
        {takes.flatMap((take) => [
          ...take.runs.map((run) => (
            <li key={run.id}>
              {formatDial(run.dial, axis)} {wayShown(axis, run.direction)}:{' '}
              {run.rejection ??
                (run.feedMmPerMin === null ? 'no feed' : feedWords(run.feedMmPerMin, run.interval95, unit))}
            </li>
          )),
          ...(take.runs.length === 0 && take.problem !== null
            ? [<li key={take.problem}>{take.problem}</li>]
            : []),
        ])}
      </ul>
    </Result>
  )
}
