import { useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { feedUnit, unitWord } from '../../../units/index.js'
import type { AdviceAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Form } from '../parts/form.js'
import { Result } from '../parts/result.js'
import { SelectField } from '../parts/select-field.js'
import { SourceChoice } from '../parts/source-choice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'
import { FormEnd } from './form-end.js'

/** How many runs of which length it takes to know one feed well enough, and why. */
export function Advice() {
  const { axis, unit, start } = usePage()
  const [fields, setFields] = useState({ feed: '', within: '2', person: '', rate: '10', step: '' })
  const [direction, setDirection] = useState<Direction>(1)
  const [by, setBy] = useState<'stopwatch' | 'readout'>('readout')
  const [answer, setAnswer] = useState<AdviceAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const change = (changes: Partial<typeof fields>): void => setFields({ ...fields, ...changes })
  const { feed, within, person, rate, step } = fields
  const ask = (): Promise<boolean> =>
    run(async () => {
      setAnswer(null)
      const timedBy = by === 'stopwatch' ? { by, person } : { by, rate, step }
      setAnswer(await tell('advice', { axisId: axis.id, unit, feed, within, direction, timedBy }))
    })
  return (
    <section>
      <h1>How many runs for one feed</h1>
      <Form onSend={() => ask()}>
        <div class="fields">
          <TextField
            label={`Feed, ${feedUnit(unit)}`}
            value={feed}
            onText={(text) => change({ feed: text })}
            numeric
          />
          <TextField
            label="How well, ± %"
            value={within}
            onText={(text) => change({ within: text })}
            hint="of its mean, 95 %"
            numeric
          />
        </div>
        <Choice
          legend="Direction"
          name="advice-direction"
          value={direction}
          options={[
            { value: 1 as Direction, label: wayShown(axis, 1), spoken: 'plus' },
            { value: -1 as Direction, label: wayShown(axis, -1), spoken: 'minus' },
          ]}
          onChange={setDirection}
        />
        <SourceChoice name="advice-by" value={by} onChange={setBy} />
        {by === 'readout' ? (
          <div class="fields">
            <TextField
              label="Readings a second"
              value={rate}
              onText={(text) => change({ rate: text })}
              numeric
            />
            <TextField
              label="Step of the readout"
              value={step}
              onText={(text) => change({ step: text })}
              hint={`its last digit, in ${unitWord(unit)} or with its unit`}
              numeric
            />
          </div>
        ) : (
          start.people.length > 0 && (
            <SelectField
              label="Who presses"
              value={person}
              none="nobody in particular"
              options={start.people}
              onChange={(text) => change({ person: text })}
            />
          )
        )}
        <FormEnd button="Work it out" disabled={busy} trouble={trouble} />
      </Form>
      {answer !== null && <Advised answer={answer} />}
    </section>
  )
}

function Advised({ answer: { answer, why } }: { answer: AdviceAnswer }) {
  return (
    <Result>
      {answer.map((sentence) => (
        <p class="strong" key={sentence}>
          {sentence}
        </p>
      ))}
      {why.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </Result>
  )
}
