import { useEffect, useState } from 'preact/hooks'
import type { LengthUnit } from '../../units/index.js'
import { NOT_LET_IN } from './model/server.js'
import { type Page, PageContext, useLoading } from './model/use-page.js'
import { Choice } from './parts/choice.js'
import { Notice } from './parts/notice.js'
import { Card } from './views/card.js'
import { Cut } from './views/cut.js'
import { Feeds } from './views/feeds.js'
import { Phone } from './views/phone.js'
import { Plan } from './views/plan.js'
import { Recheck } from './views/recheck.js'
import { Record } from './views/record.js'
import { StopwatchView } from './views/stopwatch.js'

const VIEWS = [
  { path: 'feeds', name: 'Feeds', view: Feeds },
  { path: 'plan', name: 'Plan', view: Plan },
  { path: 'record', name: 'Record', view: Record },
  { path: 'stopwatch', name: 'Stopwatch', view: StopwatchView },
  { path: 'card', name: 'Card', view: Card },
  { path: 'recheck', name: 'Recheck', view: Recheck },
  { path: 'cut', name: 'Cut', view: Cut },
  { path: 'phone', name: 'Phone', view: Phone },
] as const

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
    case 'not-let-in':
      return (
        <div class="alone">
          <Notice kind="trouble">{NOT_LET_IN}</Notice>
        </div>
      )
    case 'empty':
      return (
        <div class="alone">
          <Notice kind="note">
            <p>No machine with an axis has been entered yet.</p>
            <p>Enter them on the computer that this page comes from, then reload the page.</p>
          </Notice>
        </div>
      )
    case 'ready':
      return <Frame page={loading.page} />
  }
}

function Frame({ page }: { page: Page }) {
  const path = usePath()
  const { view: View } = VIEWS.find((one) => one.path === path) ?? VIEWS[0]
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
                  {one.machine.name} · {one.axis.name}
                </option>
              ))}
            </select>
          </label>
        ) : (
          <p class="pick">
            {machine.name} · {axis.name}
          </p>
        )}
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
      </header>
      <nav aria-label="Views">
        {VIEWS.map((one) => (
          <a key={one.path} href={`#/${one.path}`} aria-current={one.view === View ? 'page' : undefined}>
            {one.name}
          </a>
        ))}
      </nav>
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

/** The view named behind `#/`. */
function usePath(): string {
  const read = (): string => /^#\/([a-z]+)/.exec(location.hash)?.[1] ?? ''
  const [path, setPath] = useState(read)
  useEffect(() => {
    const follow = (): void => {
      setPath(read())
      scrollTo(0, 0)
    }
    addEventListener('hashchange', follow)
    return () => removeEventListener('hashchange', follow)
  }, [])
  return path
}
