import type { Direction } from '../../../../traverse/index.js'
import type { TimedSetting } from '../../model/timed-setting.js'
import { inUnit, type Typed } from '../../model/typed.js'
import { usePage } from '../../model/use-page.js'
import { Choice } from '../../parts/choice.js'
import { SelectField } from '../../parts/select-field.js'
import { wayShown, waySpoken } from '../../parts/way-words.js'
import { DialField } from '../dial-field.js'

/** Dial and direction of a run of its own. */
export function SingleFields({
  setting,
  onChange,
  fixed,
}: {
  setting: TimedSetting
  onChange: (changes: Partial<TimedSetting>) => void
  /** Stays as it is while the watch runs, so that the large button does not move under a thumb. */
  fixed: boolean
}) {
  const { axis } = usePage()
  return (
    <fieldset class="single" disabled={fixed} aria-label="What is timed">
      <DialField axis={axis} text={setting.dial} onText={(dial) => onChange({ dial })} />
      <Choice
        legend="Direction"
        name="timed-direction"
        value={setting.direction}
        options={[
          { value: 1 as Direction, label: wayShown(axis, 1), spoken: waySpoken(axis, 1) },
          { value: -1 as Direction, label: wayShown(axis, -1), spoken: waySpoken(axis, -1) },
        ]}
        onChange={(direction) => onChange({ direction })}
      />
    </fieldset>
  )
}

/** The distance that is timed over, shown in the page's unit whatever it was typed in. */
export function DistanceField({
  setting: { distance },
  onChange,
  fixed,
  plan,
  onPlan,
  before,
}: {
  setting: TimedSetting
  onChange: (distance: Typed) => void
  fixed: boolean
  /** What the plan proposes where something else was typed; null otherwise. */
  plan: Typed | null
  onPlan: () => void
  /** Of the run before; a change is said, so that nobody times over the old lines. */
  before: Typed | null
}) {
  const { unit } = usePage()
  const text = inUnit(distance, unit)
  const other = plan === null ? null : inUnit(plan, unit)
  const earlier = before === null ? null : inUnit(before, unit)
  return (
    <fieldset class="distance" disabled={fixed} aria-label="Distance">
      <label>
        <span>Distance between the lines, {unit}</span>
        <input
          value={text}
          inputMode="decimal"
          autocomplete="off"
          onInput={(event) => onChange({ text: event.currentTarget.value, unit })}
        />
      </label>
      {earlier !== null && text.trim() !== '' && earlier !== text && (
        <p class="changed">
          Not the {earlier} {unit} of the run before.
        </p>
      )}
      {other !== null && other !== text && (
        <button type="button" class="small" onClick={onPlan}>
          Take the plan's {other} {unit}
        </button>
      )}
    </fieldset>
  )
}

/** How far apart the lines are that "Mark on the way" is pressed at; without it those presses are only kept. */
export function LinesOnTheWay({
  setting: { every },
  onChange,
}: {
  setting: TimedSetting
  onChange: (every: Typed) => void
}) {
  const { unit } = usePage()
  return (
    <label>
      <span>Lines on the way, one every, {unit} (may stay empty)</span>
      <input
        value={every === undefined ? '' : inUnit(every, unit)}
        inputMode="decimal"
        autocomplete="off"
        onInput={(event) => onChange({ text: event.currentTarget.value, unit })}
      />
    </label>
  )
}

/** Who presses, where somebody's presses were measured. */
export function WhoPresses({ person, onPerson }: { person: string; onPerson: (person: string) => void }) {
  const { start } = usePage()
  if (start.people.length === 0) return null
  return (
    <SelectField
      label="Who presses"
      value={person}
      none="no timing test yet"
      options={start.people}
      onChange={onPerson}
    />
  )
}
