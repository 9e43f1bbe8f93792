import { countOf } from '../../../text/count-of.js'
import type { SessionState } from '../../api.js'
import { useKept } from '../model/kept.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { recheckTravels } from './readout/readout-work.js'

/** Whether the runs of a recheck are made one by one or in few travels; what is being recorded says so, else the user. */
export function useRecheckWay({ travels }: SessionState): {
  readonly byTravels: boolean
  readonly canChoose: boolean
  readonly choose: (byTravels: boolean) => void
} {
  const { live, axis } = usePage()
  const [kept, setKept] = useKept<{ readonly byTravels: boolean }>('tablepace.recheck', { byTravels: false })
  const travelling = recheckTravels(live, axis.id) !== null
  const recording = live.status === 'armed' || live.status === 'moving'
  return {
    byTravels: travelling || (kept.byTravels && travels !== null && !live.inSession),
    canChoose: travels !== null && !recording,
    choose: (byTravels) => setKept({ byTravels }),
  }
}

/** The choice between the two, with the minutes that each is likely to take. */
export function RecheckWay({
  session: { minutesLeft, travels },
  byTravels,
  onChange,
}: {
  session: SessionState
  byTravels: boolean
  onChange: (byTravels: boolean) => void
}) {
  const minutes = (about: number): string => `about ${Math.max(1, Math.round(about))} min`
  return (
    <Choice
      legend="Make the runs"
      name="recheck-way"
      value={byTravels ? 'travel' : 'single'}
      options={[
        { value: 'single' as const, label: `one by one, ${minutes(minutesLeft)}` },
        {
          value: 'travel' as const,
          label: `turning the knob on the way, ${countOf(travels?.travelsLeft ?? 1, 'travel')}, ${minutes(travels?.minutesLeft ?? 0)}`,
        },
      ]}
      onChange={(way) => onChange(way === 'travel')}
    />
  )
}
