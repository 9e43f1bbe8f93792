import { useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { feedUnit, formatDial, formatFeed, parseNumber } from '../../../units/index.js'
import type { CompareRequest, ComparisonAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Form } from '../parts/form.js'
import { Heads } from '../parts/heads.js'
import { Notice } from '../parts/notice.js'
import { Result } from '../parts/result.js'
import { SelectField } from '../parts/select-field.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'

type By = CompareRequest['groups']['by']

/** What parts the runs into two groups, as typed so far. */
interface Parting {
  readonly by: By
  readonly key: string
  readonly left: string
  readonly right: string
  readonly day: string
}

const BY_DIRECTION: Parting = { by: 'direction', key: '', left: '', right: '', day: '' }

function isWhole({ by, left, right, day }: Parting): boolean {
  return by === 'direction' || (by === 'tag' ? left !== '' && right !== '' : day !== '')
}

function groupsOf({ by, key, left, right, day }: Parting): CompareRequest['groups'] {
  if (by === 'direction') return { by }
  if (by === 'tag') return { by, key, left, right }
  // The day begins when it begins for who asks.
  return { by, before: new Date(`${day}T00:00`).toISOString() }
}

/** How two groups of runs differ: the directions, two tags, or before a day and since. */
export function Compare() {
  const { axis, data } = usePage()
  const [parting, setParting] = useState<Parting>(BY_DIRECTION)
  const [direction, setDirection] = useState<Direction | 0>(0)
  const [within, setWithin] = useState('2')
  const [answer, setAnswer] = useState<ComparisonAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const { by } = parting
  const compare = (): Promise<boolean> =>
    run(async () => {
      setAnswer(null)
      setAnswer(
        await tell('compare', {
          axisId: axis.id,
          withinPercent: parseNumber(within, 'What counts as alike'),
          groups: groupsOf(parting),
          direction: direction === 0 ? null : direction,
        }),
      )
    })
  return (
    <section>
      <h1>Compare runs of {axis.name}</h1>
      <Form onSend={() => compare()}>
        <Choice
          legend="Which two groups"
          name="compare-by"
          value={by}
          options={[
            { value: 'direction', label: '+\u00a0and\u00a0−' },
            { value: 'tag', label: 'two tags' },
            { value: 'date', label: 'before, since' },
          ]}
          onChange={(next) => setParting({ ...parting, by: next })}
        />
        <PartingFields parting={parting} onChange={setParting} tags={tagsOf(data.runs)} />
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
          <button type="submit" class="main" disabled={busy || !isWhole(parting)}>
            {busy ? 'Comparing …' : 'Compare'}
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </Form>
      {answer !== null && <Compared answer={answer} />}
    </section>
  )
}

function PartingFields({
  parting,
  onChange,
  tags,
}: {
  parting: Parting
  onChange: (parting: Parting) => void
  tags: ReadonlyMap<string, readonly string[]>
}) {
  const { by, key, left, right, day } = parting
  if (by === 'direction') return null
  if (by === 'date') {
    return (
      <label>
        The day that parts them
        <input
          type="date"
          value={day}
          onInput={(event) => onChange({ ...parting, day: event.currentTarget.value })}
        />
      </label>
    )
  }
  if (tags.size === 0) {
    return <p>No run carries a tag yet, such as load or gearing. Tags are given when a run is measured.</p>
  }
  const values = tags.get(key) ?? []
  const select = { none: 'choose one' }
  return (
    <div class="fields">
      <SelectField
        {...select}
        label="Tag"
        value={key}
        options={[...tags.keys()]}
        onChange={(next) => onChange({ ...parting, key: next, left: '', right: '' })}
      />
      <SelectField
        {...select}
        label="First group"
        value={left}
        options={values}
        onChange={(next) => onChange({ ...parting, left: next })}
      />
      <SelectField
        {...select}
        label="Second group"
        value={right}
        options={values.filter((one) => one !== left)}
        onChange={(next) => onChange({ ...parting, right: next })}
      />
    </div>
  )
}

function Compared({ answer }: { answer: ComparisonAnswer }) {
  const { axis, unit } = usePage()
  return (
    <Result>
      <p class="strong">{answer.headline}</p>
      <p>All marks together: {answer.overall}</p>
      <table class="narrow">
        <caption>
          Feed in {feedUnit(unit)}; the difference is that of the second group against the first, 95 %
        </caption>
        <Heads names={['Dial', answer.left, answer.right, 'Difference']} />
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
    </Result>
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
