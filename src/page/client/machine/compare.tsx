import { useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { feedUnit, formatDial, formatFeed, parseNumber } from '../../../units/index.js'
import type { CompareRequest, ComparisonAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'

type By = CompareRequest['groups']['by']

/** How two groups of runs differ: the directions, two tags, or before a day and since. */
export function Compare() {
  const { axis, data } = usePage()
  const tags = tagsOf(data.runs)
  const [by, setBy] = useState<By>('direction')
  const [key, setKey] = useState('')
  const [left, setLeft] = useState('')
  const [right, setRight] = useState('')
  const [day, setDay] = useState('')
  const [direction, setDirection] = useState<Direction | 0>(0)
  const [within, setWithin] = useState('2')
  const [answer, setAnswer] = useState<ComparisonAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const chosen = tags.get(key) ?? []
  const groups = (): CompareRequest['groups'] => {
    if (by === 'direction') return { by }
    if (by === 'tag') return { by, key, left, right }
    // The day begins when it begins for who asks.
    return { by, before: new Date(`${day}T00:00`).toISOString() }
  }
  const isWhole = by === 'direction' || (by === 'tag' ? left !== '' && right !== '' : day !== '')
  const compare = (): Promise<boolean> =>
    run(async () => {
      setAnswer(null)
      setAnswer(
        await tell('compare', {
          axisId: axis.id,
          withinPercent: parseNumber(within, 'What counts as alike'),
          groups: groups(),
          direction: direction === 0 ? null : direction,
        }),
      )
    })
  return (
    <section>
      <h1>Compare runs of {axis.name}</h1>
      <form
        class="card"
        onSubmit={(event) => {
          event.preventDefault()
          void compare()
        }}
      >
        <Choice
          legend="Which two groups"
          name="compare-by"
          value={by}
          options={[
            { value: 'direction', label: '+\u00a0and\u00a0−' },
            { value: 'tag', label: 'two tags' },
            { value: 'date', label: 'before, since' },
          ]}
          onChange={setBy}
        />
        {by === 'tag' &&
          (tags.size === 0 ? (
            <p>No run carries a tag yet, such as load or gearing. Tags are given when a run is measured.</p>
          ) : (
            <div class="fields">
              <Select
                label="Tag"
                value={key}
                options={[...tags.keys()]}
                onChange={(next) => {
                  setKey(next)
                  setLeft('')
                  setRight('')
                }}
              />
              <Select label="First group" value={left} options={chosen} onChange={setLeft} />
              <Select
                label="Second group"
                value={right}
                options={chosen.filter((one) => one !== left)}
                onChange={setRight}
              />
            </div>
          ))}
        {by === 'date' && (
          <label>
            The day that parts them
            <input type="date" value={day} onInput={(event) => setDay(event.currentTarget.value)} />
          </label>
        )}
        {by !== 'direction' && (
          <Choice
            legend="In which direction"
            name="compare-direction"
            value={direction}
            options={[
              { value: 0, label: 'both' },
              { value: 1, label: wayShown(axis, 1), spoken: 'plus' },
              { value: -1, label: wayShown(axis, -1), spoken: 'minus' },
            ]}
            onChange={setDirection}
          />
        )}
        <TextField label="What counts as alike, %" value={within} onText={setWithin} numeric />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy || !isWhole}>
            {busy ? 'Comparing …' : 'Compare'}
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </form>
      {answer !== null && <Compared answer={answer} />}
    </section>
  )
}

function Compared({ answer }: { answer: ComparisonAnswer }) {
  const { axis, unit } = usePage()
  return (
    <div role="status">
      <p class="strong">{answer.headline}</p>
      <p>All marks together: {answer.overall}</p>
      <table class="narrow">
        <caption>
          Feed in {feedUnit(unit)}; the difference is that of the second group against the first, 95 %
        </caption>
        <thead>
          <tr>
            <th scope="col">Dial</th>
            <th scope="col">{answer.left}</th>
            <th scope="col">{answer.right}</th>
            <th scope="col">Difference</th>
          </tr>
        </thead>
        <tbody>
          {answer.marks.map((mark) => (
            <tr key={`${mark.dial} ${mark.direction}`}>
              <th scope="row">
                {formatDial(mark.dial, axis)} {mark.direction === null ? '' : wayShown(axis, mark.direction)}
              </th>
              <td>{formatFeed(mark.leftMmPerMin, mark.left95, unit)}</td>
              <td>{formatFeed(mark.rightMmPerMin, mark.right95, unit)}</td>
              <td>{mark.difference}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {answer.conditions.length > 0 && (
        <>
          <h2>What else differed</h2>
          <ul>
            {answer.conditions.map((condition) => (
              <li key={condition}>{condition}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  )
}

function Select({
  label,
  value,
  options,
  onChange,
}: {
  label: string
  value: string
  options: readonly string[]
  onChange: (value: string) => void
}) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        <option value="">choose one</option>
        {options.map((one) => (
          <option key={one}>{one}</option>
        ))}
      </select>
    </label>
  )
}

/** The values of every tag that runs carry. */
function tagsOf(runs: readonly { readonly tags: Readonly<Record<string, string>> }[]): Map<string, string[]> {
  const values = new Map<string, Set<string>>()
  for (const { tags } of runs)
    for (const [key, value] of Object.entries(tags))
      values.set(key, (values.get(key) ?? new Set()).add(value))
  return new Map([...values].map(([key, found]) => [key, [...found].sort()]))
}
