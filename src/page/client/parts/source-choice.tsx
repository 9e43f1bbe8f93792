import type { RunSource } from '../../../store/index.js'
import { Choice } from './choice.js'

/** What runs are timed by. */
export function SourceChoice({
  legend = 'Timed by',
  name,
  value,
  onChange,
}: {
  legend?: string
  name: string
  value: RunSource
  onChange: (source: RunSource) => void
}) {
  return (
    <Choice
      {...{ legend, name, value, onChange }}
      options={[
        { value: 'readout', label: 'readout' },
        { value: 'stopwatch', label: 'stopwatch' },
      ]}
    />
  )
}
