import { useState } from 'preact/hooks'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { TakeResult } from '../../parts/run-list.js'
import { ScreenNote } from '../screen-note.js'
import { KnownMove } from './known-move.js'
import { Readings, TrackChart } from './live-chart.js'
import { OpenReadout } from './open-readout.js'
import { ReadoutField } from './readout-field.js'
import { isByTravels, type ReadoutWork, travelsShown } from './readout-work.js'
import { NextStep, Record } from './record.js'
import { SweepGuide } from './sweep-cue.js'

/** Runs by readout: set the dial, let the table travel; each run is told the moment it ends. */
export function ReadoutRuns({ work }: { work: ReadoutWork }) {
  const { live, track, unit, take, axis } = usePage()
  const open = live.status !== 'closed'
  const [unitTold, setUnitTold] = useState<string | null>(null)
  if (open && live.axisId !== axis.id) {
    return <Notice kind="note">The readout is connected to another axis just now.</Notice>
  }
  return (
    <>
      {open ? <Record live={live} work={work} /> : <Closed work={work} />}
      {open && <Readings track={track} unit={unit} />}
      {take !== null && <TakeResult take={take} />}
      {open && live.unitIsOpen && live.status === 'watching' && <KnownMove onTold={setUnitTold} />}
      {open && !live.unitIsOpen && unitTold !== null && <Notice kind="note">{unitTold}</Notice>}
      {open && <TrackChart track={track} unit={unit} />}
      {open && <OpenReadout live={live} />}
      {open && <ScreenNote wanted />}
    </>
  )
}

/** No readout is connected: what it is wanted for, and how to connect it. */
function Closed({ work }: { work: ReadoutWork }) {
  const { live, axis } = usePage()
  return (
    <>
      {work.kind === 'session' && <NextStep session={work.session} />}
      {isByTravels(work) && <SweepGuide sweep={travelsShown(live, axis.id, work)} />}
      <ReadoutField trouble={live.trouble} />
    </>
  )
}
