import { useEffect, useMemo, useState } from 'preact/hooks'
import { parseDialSetting, parseLengthMm } from '../../../../units/index.js'
import type { SessionState } from '../../../api.js'
import { useKept } from '../../model/kept.js'
import { useScreenOn } from '../../model/screen-on.js'
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
import { RunConditions, useConditions } from '../run-conditions.js'
import { axisName, writingOn } from './axis-of-timing.js'
import { DistanceField, LinesOnTheWay, SingleFields, WhoPresses } from './timed-fields.js'
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
  const screen = useScreenOn(watch.timer.state === 'running')
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
        axisId: setting.axisId,
        dial: parseDialSetting(setting.dial, 'Dial setting', writingOn(page.start.machines, setting.axisId)),
        direction: setting.direction,
        distanceMm: parseLengthMm(setting.distance.text, setting.distance.unit, 'Distance'),
        ...timing,
        marksS: [...timing.marksS],
        everyMm:
          setting.every === undefined || setting.every.text.trim() === ''
            ? null
            : parseLengthMm(setting.every.text, setting.every.unit, 'Distance from line to line'),
        step: setting.step,
        check: setting.check === true,
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
  const isStep = setting.step !== null
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
      {setting.axisId !== axis.id && (
        <Notice kind="note">
          This timing was begun for {axisName(page.start.machines, setting.axisId)}, dial {setting.dial}{' '}
          {wayShown(axis, setting.direction)}, and stays there.
        </Notice>
      )}
      {!over && (
        <>
          {isStep && (
            <p class="count">
              Run {setting.step?.step} of {session?.steps.length ?? setting.step?.step}
            </p>
          )}
          {isStep ? (
            <Instruction
              dial={setting.dial}
              direction={setting.direction}
              turnAway={session?.resetDial ?? true}
            >
              Start the feed well before the first line and stop it after the last one.
            </Instruction>
          ) : (
            <SingleFields setting={setting} onChange={change} fixed={running} />
          )}
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
      {screen === 'cannot' && (
        <p class="quiet">
          This browser cannot keep the screen on here; set a long screen timeout on the phone.
        </p>
      )}
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
