import { useEffect, useState } from 'preact/hooks'
import type { ReadoutSummary } from '../../../../jobs/readout/readout-tally.js'
import { feedUnit, formatFeed, formatLength } from '../../../../units/index.js'
import { usePage } from '../../model/use-page.js'
import { Figure } from '../../parts/figure.js'
import { Notice } from '../../parts/notice.js'

/** How often the figures are drawn anew, ms. Judgement: as often as a person can read them. */
const DRAW_EVERY_MS = 250

/** What the readout that is connected sends now: position, speed, how often, how much is lost. */
export function Watch() {
  const { live, track, unit, axis } = usePage()
  const [seen, setSeen] = useState<ReadoutSummary | null>(null)
  const isOpen = live.status !== 'closed'
  useEffect(() => {
    if (!isOpen) return
    const timer = setInterval(() => setSeen(track.now), DRAW_EVERY_MS)
    return () => {
      clearInterval(timer)
      setSeen(null)
    }
  }, [isOpen, track])
  if (!isOpen) {
    return (
      <p>
        None is connected. Connect it at <a href="#/measure">Measure</a>; then this shows what it sends.
      </p>
    )
  }
  const speed = (mmPerMin: number): string => `${formatFeed(mmPerMin, null, unit)} ${feedUnit(unit)}`
  return (
    <>
      {live.axisId !== axis.id && <Notice kind="note">It follows another axis than {axis.name}.</Notice>}
      {live.silent && <Notice kind="trouble">Nothing comes from it now; these figures are old.</Notice>}
      {seen !== null && seen.samples > 0 && (
        <dl class="figures">
          <Figure name="Position" value={formatLength(seen.positionMm ?? 0, unit)} />
          <Figure name="Speed" value={speed(seen.speedMmPerMin)}>
            at most {speed(seen.highestSpeedMmPerMin)}
          </Figure>
          <Figure
            name="Readings a second"
            value={seen.refreshHz === null ? '–' : seen.refreshHz.toFixed(seen.refreshHz < 10 ? 2 : 1)}
          >
            {seen.samples} came, {seen.lost} lost
          </Figure>
          <Figure name="Travel watched" value={formatLength(seen.travelMm, unit)} />
        </dl>
      )}
      {live.conclusions.map((sentence) => (
        <p class="quiet" key={sentence}>
          {sentence}
        </p>
      ))}
    </>
  )
}
