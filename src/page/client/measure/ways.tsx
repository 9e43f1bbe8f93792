import type { Axis, RunSource } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { formatDial } from '../../../units/index.js'
import type { StartAnswer } from '../../api.js'
import type { Begin } from '../model/use-begin.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { wayShown, waySpoken } from '../parts/way-words.js'

/** One way to measure the marks of an axis. */
export interface Way {
  readonly kind: 'until-good' | 'sweep' | 'procedure'
  readonly name: string
  readonly title: string
  readonly how: string
  readonly source: RunSource
}

const UNTIL_GOOD: Omit<Way, 'source'> = {
  ...{ kind: 'until-good', name: 'until-good', title: 'Until the table is good enough' },
  how: 'Asks for the run that tells most, and ends when every mark is known well enough.',
}

const SWEEP: Way = {
  ...{ kind: 'sweep', name: 'sweep', title: 'Many settings in one travel', source: 'readout' },
  how: 'You turn the knob from mark to mark while the table travels; the page says when.',
}

/** Name of the way by travels that ends once the table is good enough. */
export const SWEEP_UNTIL_GOOD = 'sweep-until-good'

const SWEEP_UNTIL: Way = {
  ...{ kind: 'sweep', name: SWEEP_UNTIL_GOOD, title: 'By travels until the table is good enough' },
  how: 'The same, and further travels only through the settings that the worst places need.',
  source: 'readout',
}

/** The ways to measure by a source, the usual one first. */
export function waysOf(
  procedures: StartAnswer['procedures'],
  source: RunSource,
  axis: Pick<Axis, 'marks'>,
): readonly Way[] {
  const fixed = procedures
    .filter((one) => one.source === source)
    .map(({ name, title }) => ({ kind: 'procedure' as const, name, title, how: 'Fixed runs.', source }))
  const travels = source === 'readout' && axis.marks.length > 1 ? [SWEEP, SWEEP_UNTIL] : []
  return [{ ...UNTIL_GOOD, source }, ...travels, ...fixed]
}

/** Value of the choice of directions that stands for both. */
const BOTH = 0

/** The ways to choose from, and what the chosen one asks besides. */
export function WayFields({
  ways,
  way,
  asked,
  onChange,
  takes,
}: {
  ways: readonly Way[]
  way: Way
  asked: Begin
  onChange: (changes: Partial<Begin>) => void
  takes: (way: Way) => string
}) {
  const { axis } = usePage()
  return (
    <>
      <fieldset class="procedures">
        <legend class="unseen">Way to measure</legend>
        {ways.map((one) => (
          <label class="check" key={one.name}>
            <input
              type="radio"
              name="way"
              checked={one === way}
              onChange={() => onChange({ [one.source]: one.name })}
            />
            <span>
              <strong>{one.title}</strong>
              <br />
              {one.how}
              <small class="takes">{takes(one)}</small>
            </span>
          </label>
        ))}
      </fieldset>
      {(way.kind === 'until-good' || way === SWEEP_UNTIL) && (
        <label>
          How well the feeds should be known, ± %
          <input
            value={asked.within}
            inputMode="decimal"
            onInput={(event) => onChange({ within: event.currentTarget.value })}
          />
        </label>
      )}
      {way.kind !== 'procedure' && (
        <Choice
          legend="Directions"
          name="begin-directions"
          value={asked.directions.length > 1 ? BOTH : asked.directions[0]!}
          options={[
            { value: BOTH, label: 'both' },
            ...([1, -1] as const).map((direction) => ({
              value: direction,
              label: wayShown(axis, direction),
              spoken: waySpoken(axis, direction),
            })),
          ]}
          onChange={(chosen) => onChange({ directions: chosen === BOTH ? [1, -1] : [chosen as Direction] })}
        />
      )}
      <p class="quiet">
        The marks of {axis.name}:{' '}
        {axis.marks.length === 0
          ? 'none entered yet'
          : axis.marks.map((mark) => formatDial(mark, axis)).join(', ')}
        .
      </p>
    </>
  )
}
