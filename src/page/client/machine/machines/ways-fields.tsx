import { useState } from 'preact/hooks'
import type { AxisFields } from '../../../machine-api.js'
import { Choice } from '../../parts/choice.js'
import { TextField } from '../../parts/text-field.js'

type Ways = Pick<AxisFields, 'plusWay' | 'minusWay'>

const LEFT_RIGHT = { plusWay: 'left', minusWay: 'right' }
const RIGHT_LEFT = { plusWay: 'right', minusWay: 'left' }

/** Which way the table goes in +, towards larger readings: left, right, or in words of the user's own. */
export function WaysFields({ fields, onChange }: { fields: Ways; onChange: (changes: Ways) => void }) {
  const known = [LEFT_RIGHT, RIGHT_LEFT].find(
    (ways) => ways.plusWay === fields.plusWay && ways.minusWay === fields.minusWay,
  )
  const isEmpty = (fields.plusWay ?? '') === '' && (fields.minusWay ?? '') === ''
  const [isOwn, setOwn] = useState(!isEmpty && known === undefined)
  const value = isOwn ? 'own' : known === LEFT_RIGHT ? 'left' : known === RIGHT_LEFT ? 'right' : 'none'
  return (
    <>
      <Choice
        legend="+ (larger readings) moves the table to the"
        name="plus-way"
        value={value}
        options={[
          { value: 'left', label: 'left' },
          { value: 'right', label: 'right' },
          { value: 'own', label: 'own words' },
          { value: 'none', label: 'not said' },
        ]}
        onChange={(way) => {
          setOwn(way === 'own')
          onChange(way === 'left' ? LEFT_RIGHT : way === 'right' ? RIGHT_LEFT : { plusWay: '', minusWay: '' })
        }}
      />
      {isOwn && (
        <div class="fields">
          <TextField
            label="Word for +"
            value={fields.plusWay ?? ''}
            onText={(plusWay) => onChange({ plusWay })}
            hint="such as to the column"
          />
          <TextField
            label="Word for −"
            value={fields.minusWay ?? ''}
            onText={(minusWay) => onChange({ minusWay })}
            hint="such as to me"
          />
        </div>
      )}
    </>
  )
}
