import { type DialWriting, NUMBERED } from '../units/index.js'
import { type TableDocument, ucumOf } from './table-document-schema.js'

/** A field of a Table Schema; `unit` is a property of our own, as the standard allows, and holds a UCUM code. */
export interface PackageField {
  readonly name: string
  readonly type: 'string' | 'number' | 'integer' | 'datetime' | 'object'
  readonly description: string
  readonly unit?: string
  readonly constraints?: { readonly required?: true; readonly enum?: readonly string[] }
}

const REQUIRED = { required: true } as const

/** The fields of the three files; feeds carry their unit in the name too. */
export function packageFields(
  unit: TableDocument['unit']['feed'],
  writing: DialWriting = NUMBERED,
): Record<'marks' | 'curve' | 'runs', PackageField[]> {
  const suffix = unit.replace('/', '_per_')
  const feed = (name: string, description: string, required = false): PackageField => ({
    name: `${name}_${suffix}`,
    type: 'number',
    description,
    unit: ucumOf(unit),
    ...(required ? { constraints: REQUIRED } : {}),
  })
  const direction: PackageField = {
    name: 'direction',
    type: 'string',
    description: 'plus towards larger positions of the readout.',
    constraints: { required: true, enum: ['plus', 'minus'] },
  }
  const dial: PackageField = {
    name: 'dial',
    type: 'number',
    description: writing.lettered
      ? 'Letter on the dial, as its place in the alphabet: A = 1.'
      : 'Number on the dial.',
    unit: '1',
    constraints: REQUIRED,
  }
  const curve = [
    direction,
    dial,
    feed('feed', 'Mean feed of this setting.', true),
    feed('feed_standard_uncertainty', 'Standard uncertainty (GUM) of the mean feed.'),
    feed('feed_low_95', 'Lower end of the 95 % interval of the mean feed.'),
    feed('feed_high_95', 'Upper end of the 95 % interval of the mean feed.'),
    feed(
      'next_setting_low_95',
      'Lower end of where the feed lies with 95 % probability the next time this dial is set, on any day.',
    ),
    feed('next_setting_high_95', 'Upper end of it.'),
    feed('same_day_low_95', 'Lower end of the same on the day of the measurement, as stored.'),
    feed('same_day_high_95', 'Upper end of it.'),
  ]
  return {
    curve,
    marks: [
      ...curve,
      { name: 'runs', type: 'integer', description: 'Runs at this mark.', unit: '1', constraints: REQUIRED },
    ],
    runs: [
      {
        name: 'run_id',
        type: 'string',
        description: 'Name of the run, the same in every store.',
        constraints: REQUIRED,
      },
      direction,
      dial,
      feed('feed', 'Feed of this run.', true),
      feed('feed_standard_uncertainty', 'Standard uncertainty of this run alone: reading and clock.', true),
      {
        name: 'source',
        type: 'string',
        description: 'How the travel was timed.',
        constraints: { required: true, enum: ['readout', 'stopwatch'] },
      },
      { name: 'recorded_at', type: 'datetime', description: 'UTC.', constraints: REQUIRED },
      { name: 'tags', type: 'object', description: 'Conditions as the user named them.' },
      { name: 'note', type: 'string', description: 'As the user wrote it.' },
    ],
  }
}
