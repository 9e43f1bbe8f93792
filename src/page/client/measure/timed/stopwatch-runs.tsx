import { useEffect, useMemo, useState } from 'preact/hooks'
import type { SessionState } from '../../../api.js'
import { useKept } from '../../model/kept.js'
import { giveSignal } from '../../model/signals.js'
import { type Draft, EMPTY_DRAFT, planned, settingNow, type TimedSetting } from '../../model/timed-setting.js'
import { Timings, type WaitingTiming } from '../../model/timings.js'
import { inUnit, type Typed } from '../../model/typed.js'
import { usePage } from '../../model/use-page.js'
import { useStopwatch } from '../../model/use-stopwatch.js'
import { Notice } from '../../parts/notice.js'
import { TakeResult } from '../../parts/run-list.js'
import { useAction } from '../../parts/use-action.js'
import { wayShown } from '../../parts/way-words.js'
import { CautionsDialog, CautionsReminder, wereCautionsRead } from '../cautions.js'
import { Instruction } from '../instruction.js'
import { runCount } from '../progress.js'
import { RunConditions, useConditions } from '../run-conditions.js'
import { ScreenNote } from '../screen-note.js'
import { axisName } from './axis-of-timing.js'
import { DistanceField, LinesOnTheWay, SingleFields, WhoPresses } from './timed-fields.js'
import { timedRun } from './timed-run.js'
import { WaitingTimings } from './waiting-timings.js'
import { Watch } from './watch.js'

const PERSON_KEPT_AS = 'tablepace.person'

/** Runs by stopwatch: one large button, timed by this device. */
export function StopwatchRuns({
  session,
  check = false,
}: {
  session: SessionState | null
  /** The runs teach how the machine feeds today, and no mark. */
  check?: boolean
}) {
  const page = usePage()
  const { axis, unit, take } = page
  const watch = useStopwatch()
  const [draft, setDraft] = useKept<Draft>(`tablepace.draft.${axis.id}`, EMPTY_DRAFT)
  const [before, setBefore] = useKept<{ readonly over: Typed | null }>(`tablepace.before.${axis.id}`, {
    over: null,
  })
  const [person, setPerson] = useKept(PERSON_KEPT_AS, { name: '' })
  const conditions = useConditions()
  const [asking, setAsking] = useState(watch.timer.state === 'ready' && !wereCautionsRead())
  const { trouble, run } = useAction()
  const { timings, waiting } = useTimings()

  // A timing under way stays what it was begun for.
  const setting = watch.setting ?? { ...settingNow(axis, session, draft, unit), check }
  const over = session !== null && session.next === null && watch.setting === null
  const change = (changes: Partial<TimedSetting>): void => {
    const { dial, direction, distance, every = draft.every } = { ...setting, ...changes }
    const typed = changes.distance !== undefined || draft.distance !== null
    const lines = every === undefined ? {} : { every }
    setDraft(
      setting.step === null
        ? { dial, direction, distance, ...lines }
        : { ...draft, distance: typed ? distance : null, ...lines },
    )
    if (watch.setting !== null) watch.change({ ...watch.setting, ...changes })
  }
  const keep = (): void => {
    void run(async () => {
      const timing = watch.timer.timing()
      if (timing === null) return
      timings.add({
        ...timedRun(setting, timing, page.start.machines),
        tags: conditions.tags,
        person: page.start.people.includes(person.name) ? person.name : '',
        madeAt: new Date().toISOString(),
        clockBefore: [...watch.clockBefore],
      })
      setBefore({ over: setting.distance })
      watch.reset()
    })
  }
  const planMm = session?.next?.timedDistanceMm
  const running = watch.timer.state === 'running'
  return (
    <>
      {asking && !over && (
        <CautionsDialog
          onNotYet={() => {
            location.hash = '#/look-up'
          }}
          onClear={() => setAsking(false)}
        />
      )}
      {setting.axisId !== axis.id && <OfAnotherAxis setting={setting} />}
      {!over && (
        <>
          <WhatIsTimed setting={setting} session={session} fixed={running} onChange={change} />
          <DistanceField
            setting={setting}
            fixed={running}
            onChange={(distance) => change({ distance })}
            plan={draft.distance === null || planMm === undefined ? null : planned(planMm, unit)}
            onPlan={() => setDraft({ ...draft, distance: null })}
            before={before.over}
          />
          <Watch
            watch={watch}
            over={inUnit(setting.distance, unit)}
            unit={unit}
            onPress={(event) => {
              watch.press(event, setting)
              giveSignal('press')
            }}
            onKeep={keep}
          />
        </>
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {!over && <ScreenNote wanted={running} />}
      <WaitingTimings
        waiting={waiting}
        onCorrect={(sequence, changes) => timings.correct(sequence, changes)}
        onForget={(sequence) => timings.forget(sequence)}
      />
      {take !== null && <TakeResult take={take} />}
      {!over && <LinesOnTheWay setting={setting} onChange={(every) => change({ every })} />}
      <WhoPresses person={person.name} onPerson={(name) => setPerson({ name })} />
      <RunConditions conditions={conditions} />
      <CautionsReminder />
    </>
  )
}

/** Says that a timing under way is not for the axis that is shown. */
function OfAnotherAxis({ setting }: { setting: TimedSetting }) {
  const { axis, start } = usePage()
  return (
    <Notice kind="note">
      This timing was begun for {axisName(start.machines, setting.axisId)}, dial {setting.dial}{' '}
      {wayShown(axis, setting.direction)}, and stays there.
    </Notice>
  )
}

/** The step of the session that is timed, or the fields that say what is. */
function WhatIsTimed({
  setting,
  session,
  fixed,
  onChange,
}: {
  setting: TimedSetting
  session: SessionState | null
  fixed: boolean
  onChange: (changes: Partial<TimedSetting>) => void
}) {
  const { dial, direction, step } = setting
  if (step === null) return <SingleFields setting={setting} onChange={onChange} fixed={fixed} />
  return (
    <>
      {session !== null && <p class="count">{runCount(session, step.step)}</p>}
      <Instruction dial={dial} direction={direction} turnAway={session?.resetDial ?? true}>
        Start the feed well before the first line and stop it after the last one.
      </Instruction>
    </>
  )
}

/** The timings on their way to the laptop, sent whenever it can be reached. */
function useTimings(): { readonly timings: Timings; readonly waiting: readonly WaitingTiming[] } {
  const { setTake, refresh, connected } = usePage()
  const [waiting, setWaiting] = useState<readonly WaitingTiming[]>([])
  const timings = useMemo(
    () =>
      new Timings({
        changed: setWaiting,
        kept: (take) => {
          setTake(take)
          giveSignal(take.problem === null ? 'done' : 'trouble')
          void refresh().catch(() => {})
        },
      }),
    [],
  )
  useEffect(() => {
    setWaiting(timings.waiting)
    void timings.send()
  }, [timings, connected])
  return { timings, waiting }
}
