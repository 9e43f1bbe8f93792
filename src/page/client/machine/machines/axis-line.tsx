import type { Axis } from '../../../../store/index.js'
import { formatDial, formatLength, type MachineUnit } from '../../../../units/index.js'
import { bothForces } from '../../../../words/both-systems.js'
import { pitchWord } from '../../../../words/pitch-word.js'
import { tell } from '../../model/server.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'
import { BringBack } from './bring-back.js'
import type { Editing } from './editing.js'

/** One axis in a line, with what may be done to it. */
export function AxisLine({
  axis,
  unit,
  setOpen,
  reload,
}: Pick<Editing, 'setOpen' | 'reload'> & { axis: Axis; unit: MachineUnit }) {
  const { busy, trouble, run } = useAction()
  const retire = (): Promise<boolean> =>
    run(async () => {
      await tell('axis/retire', { axisId: axis.id })
      await reload()
    })
  return (
    <div class="axis">
      <p>
        <strong>{axis.name}</strong>: {axisWords(axis, unit)}
      </p>
      {axis.removedAt === null ? (
        <div class="buttons">
          <button
            type="button"
            class="small"
            aria-label={`Change axis ${axis.name}`}
            onClick={() => setOpen({ kind: 'axis', id: axis.id })}
          >
            Change
          </button>
          <button
            type="button"
            class="small"
            aria-label={`Retire axis ${axis.name}`}
            disabled={busy}
            onClick={retire}
          >
            Retire
          </button>
        </div>
      ) : (
        <BringBack
          name={`axis ${axis.name}`}
          work={() => tell('axis/bring-back', { axisId: axis.id })}
          reload={reload}
        />
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </div>
  )
}

/** The travel, the dial and what is known of it. */
function axisWords(axis: Axis, machineUnit: MachineUnit): string {
  const marks =
    axis.marks.length === 0 ? '' : `, marks ${axis.marks.map((mark) => formatDial(mark, axis)).join(', ')}`
  const kind = axis.stepped ? ', only its marks' : axis.dialClicks ? ', clicks into place' : ''
  const push = axis.pushN === null ? '' : `, the drive pushes ${bothForces(axis.pushN, machineUnit)}`
  const ways = axis.ways === null ? '' : `, + is ${axis.ways.plus}, − is ${axis.ways.minus}`
  const pitch =
    axis.leadscrewPitchMm === null
      ? ''
      : `, ${pitchWord(axis)} ${formatLength(axis.leadscrewPitchMm, axis.unit)}`
  const range = axis.range === undefined ? '' : `, range ${axis.range.name} of ${axis.range.of}`
  const turns = axis.rotary ? 'turns, ' : ''
  return `${turns}travel ${formatLength(axis.travelMm, axis.unit)}, dial ${formatDial(axis.dialMin, axis)} to ${formatDial(axis.dialMax, axis)}${marks}${kind}${range}${pitch}${push}${ways}`
}
