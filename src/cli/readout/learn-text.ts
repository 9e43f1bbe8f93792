import { type FittedScale, sayFraming } from '../../ingest/index.js'
import type { HeardReadout, LearnedAxis } from '../../jobs/index.js'

/** What was learned, as a document. */
export function learnedJson(
  heard: HeardReadout,
  { shape, column, netMove, rested }: LearnedAxis,
  scale: FittedScale | null,
) {
  return {
    link: { baudRate: heard.link.baudRate, framing: sayFraming(heard.link) },
    tried: heard.trials.map(({ link, quality }) => ({
      baudRate: link.baudRate,
      framing: sayFraming(link),
      ...quality,
    })),
    shape: {
      ...shape,
      columns: shape.columns.map(({ skeleton: _, ...shown }) => shown),
    },
    axis: { label: column.label, column: column.column, netMove, rested },
    scale:
      scale === null
        ? null
        : {
            text: scale.text,
            mmPerNumber: scale.mmPerNumber,
            offPercent: scale.offPercent,
            allowedPercent: scale.allowedPercent,
          },
  }
}
