import { useKept } from '../model/kept.js'
import { TextField } from '../parts/text-field.js'

/** What a person may say of the runs that are made now; empty where nothing is said. */
const NONE = { load: '', gearing: '' }

/** The conditions said on this device, as tags that go with each run. */
export function useConditions(): {
  readonly said: typeof NONE
  readonly say: (said: typeof NONE) => void
  readonly tags: Readonly<Record<string, string>>
} {
  const [said, say] = useKept('tablepace.conditions', NONE)
  const tags = Object.fromEntries(
    Object.entries({ load: said.load.trim(), gearing: said.gearing.trim() }).filter(
      ([, text]) => text !== '',
    ),
  )
  return { said, say, tags }
}

/** Says under what load and in which gear the runs are made, so that they can be compared later. */
export function RunConditions({ conditions }: { conditions: ReturnType<typeof useConditions> }) {
  const { said, say, tags } = conditions
  const told = Object.entries(tags).map(([name, text]) => `${name} ${text}`)
  return (
    <details class="conditions">
      <summary>Conditions of the runs{told.length > 0 && `: ${told.join(', ')}`}</summary>
      <div class="fields">
        <TextField
          label="Load"
          value={said.load}
          onText={(load) => say({ ...said, load })}
          hint="such as free, vise on the table, or cutting"
        />
        <TextField
          label="Gearing"
          value={said.gearing}
          onText={(gearing) => say({ ...said, gearing })}
          hint="where the drive has more than one range"
        />
      </div>
      <p class="quiet">They stay as they are said here until they are changed.</p>
    </details>
  )
}
