import { useEffect } from 'preact/hooks'
import type { LengthUnit } from '../../units/index.js'
import { CHECK_VIEWS } from './check/index.js'
import { LOOK_UP_VIEWS } from './look-up/index.js'
import { Care } from './machine/care.js'
import { Restore } from './machine/files.js'
import { MACHINE_VIEWS } from './machine/index.js'
import { FirstStart } from './machine/machines/first-start.js'
import { MEASURE_VIEWS } from './measure/index.js'
import { addressOf, type Place, useAddress } from './model/places.js'
import { NOT_LET_IN } from './model/server.js'
import { type Page, PageContext, useLoading } from './model/use-page.js'
import { Choice } from './parts/choice.js'
import { Notice } from './parts/notice.js'

/** The page follows the work: look a setting up, measure, check, and what belongs to the machine itself. */
const PLACES: readonly Place[] = [
  { path: 'look-up', name: 'Look up', views: LOOK_UP_VIEWS },
  { path: 'measure', name: 'Measure', views: MEASURE_VIEWS },
  { path: 'check', name: 'Check', views: CHECK_VIEWS },
  { path: 'machine', name: 'Machine', views: MACHINE_VIEWS },
]

/** The page: a heading with machine and unit, the views, and the one that is open. */
export function App() {
  const loading = useLoading()
  switch (loading.kind) {
    case 'loading':
      return <p class="alone">Loading …</p>
    case 'unreachable':
      return (
        <div class="alone">
          <Notice kind="trouble">
            The program cannot be reached. Check that it still runs on its computer; this page goes on by
            itself.
          </Notice>
        </div>
      )
    case 'broken':
      return (
        <main class="alone">
          <Notice kind="trouble">{loading.message}</Notice>
          <Care />
          <Restore />
        </main>
      )
    case 'not-let-in':
      return (
        <div class="alone">
          <Notice kind="trouble">{NOT_LET_IN}</Notice>
        </div>
      )
    case 'empty':
      return <FirstStart onAdded={loading.added} />
    case 'ready':
      return <Frame page={loading.page} />
  }
}

function Frame({ page }: { page: Page }) {
  const { place, view } = useAddress(PLACES)
  const { view: View } = view
  // A place with many views has some beyond the edge of a phone.
  useEffect(() => {
    const here = document.querySelector('nav.views [aria-current]')
    here?.scrollIntoView({ inline: 'center', block: 'nearest' })
  }, [view])
  const listed = place.views.filter((one) => one.unlisted !== true)
  const { start, axis, machine, unit, connected, letIn } = page
  const all = start.machines.flatMap((one) => one.axes.map((each) => ({ machine: one, axis: each })))
  return (
    <PageContext.Provider value={page}>
      <button type="button" class="skip" onClick={() => document.getElementById('content')?.focus()}>
        To the content
      </button>
      <header>
        <p class="name">tablepace</p>
        {all.length > 1 ? (
          <label class="pick">
            <span class="unseen">Machine and axis</span>
            <select value={axis.id} onChange={(event) => page.choose(Number(event.currentTarget.value))}>
              {all.map((one) => (
                <option key={one.axis.id} value={one.axis.id}>
                  {axisWords(one.machine, one.axis)}
                </option>
              ))}
            </select>
          </label>
        ) : (
          <p class="pick">{axisWords(machine, axis)}</p>
        )}
        {!axis.rotary && (
          <Choice
            legend="Unit"
            hideLegend
            name="unit"
            value={unit}
            options={[
              { value: 'in' as LengthUnit, label: 'in' },
              { value: 'mm' as LengthUnit, label: 'mm' },
            ]}
            onChange={page.setUnit}
          />
        )}
      </header>
      <nav class="places" aria-label="Places">
        {PLACES.map((one) => (
          <a key={one.path} href={`#/${one.path}`} aria-current={one === place ? 'page' : undefined}>
            {one.name}
          </a>
        ))}
      </nav>
      {listed.length > 1 && (
        <nav class="views" aria-label={place.name}>
          {listed.map((one) => (
            <a key={one.path} href={addressOf(place, one)} aria-current={one === view ? 'page' : undefined}>
              {one.name}
            </a>
          ))}
        </nav>
      )}
      {!connected && (
        <div class="lost">
          <Notice kind="trouble">
            {letIn
              ? 'The connection is lost; trying again. What you time is kept on this device and sent later.'
              : `${NOT_LET_IN} What you time is kept on this device and sent then.`}
          </Notice>
        </div>
      )}
      <main id="content" tabIndex={-1}>
        <View />
      </main>
    </PageContext.Provider>
  )
}

/** The axis first: a long name of the machine is cut off at its end on a narrow screen. */
function axisWords(machine: Named, axis: Named): string {
  return `${axis.name} · ${machine.name}`
}

interface Named {
  readonly name: string
}
