import type { Command } from 'commander'
import { addAxis } from '../../jobs/tables/add-axis.js'
import { travelMeantIn } from '../../planning/mix-ups/index.js'
import type { Axis, Machine, MachineAxis, NewAxis } from '../../store/index.js'
import {
  enteredDial,
  type LengthUnit,
  parseForceN,
  parseLengthMm,
  parseMarks,
  parseRange,
  parseRangeNames,
} from '../../units/index.js'
import { travelQuestion } from '../../words/travel-question.js'
import { type AxisOptions, nowIso, onlyMachine, withAxis, withStore } from '../context.js'
import { printJson, printResult, say } from '../terminal/terminal.js'
import { argument } from '../wording.js'
import { axisJson, describeAxis } from './machine.js'

interface AxisCommandOptions extends AxisOptions {
  readonly travel?: string
  readonly dial?: string
  readonly marks?: string
  readonly stepped?: boolean
  readonly continuous?: boolean
  readonly clicks?: boolean
  readonly rotary?: boolean
  readonly pitch?: string
  readonly push?: string
  readonly plus?: string
  readonly minus?: string
  readonly name?: string
}

/** `axis add | change | remove | restore`. */
export function registerAxis(program: Command): void {
  const axis = program.command('axis').description('axes of a machine: travel, dial, marks')
  describing(
    axis
      .command('add <axis>')
      .description('add an axis and its dial')
      .option('--machine <name>', 'the machine; may be left out when the store holds only one')
      .requiredOption('--travel <length>', 'full travel of the table, such as 20in, or 360deg with --rotary')
      .requiredOption(
        '--dial <range>',
        'lowest and highest number on the dial, such as 0..10; or letters, as A..H',
      )
      .option(
        '--ranges <names>',
        'names of the ranges of the dial, such as LO,HI: each gets tables of its own',
      ),
  ).action((name: string, _: unknown, command: Command) => add(name, command.optsWithGlobals()))
  describing(
    axis
      .command('change <axis>')
      .description('change an axis; its runs and tables are kept')
      .option('--machine <name>', 'the machine; may be left out when the store holds only one')
      .option('--name <name>', 'new name')
      .option('--travel <length>', 'full travel of the table')
      .option('--dial <range>', 'lowest and highest number or letter on the dial')
      .option('--continuous', 'the dial can be set between its marks'),
  ).action((name: string, _: unknown, command: Command) => change(name, command.optsWithGlobals()))
  axis
    .command('list')
    .description('list the axes of a machine, or of all machines')
    .option('--machine <name>', 'only this machine')
    .action((_: unknown, command: Command) => list(command.optsWithGlobals()))
  axis
    .command('show <axis>')
    .description('show one axis: travel, dial, marks')
    .option('--machine <name>', 'the machine; may be left out when the store holds only one')
    .action((name: string, _: unknown, command: Command) => show(name, command.optsWithGlobals()))
  axis
    .command('remove <axis>')
    .description('retire an axis; its runs and tables are kept')
    .option('--machine <name>', 'the machine; may be left out when the store holds only one')
    .action((name: string, _: unknown, command: Command) => remove(name, command.optsWithGlobals()))
  axis
    .command('restore <axis>')
    .description('bring back a retired axis')
    .option('--machine <name>', 'the machine; may be left out when the store holds only one')
    .action((name: string, _: unknown, command: Command) => restore(name, command.optsWithGlobals()))
}

function describing(command: Command): Command {
  return command
    .option('--marks <list>', 'numbers or letters marked on the dial, separated by commas')
    .option('--stepped', 'the dial has only its marks, nothing between')
    .option('--clicks', 'the dial clicks into place or is digital: no scatter from setting it')
    .option('--rotary', 'the axis turns: travel and feeds are degrees')
    .option(
      '--pitch <length>',
      'leadscrew pitch: travel of one turn, such as 0.2in or 5mm; on a rotary axis 4deg of the handle',
    )
    .option('--push <force>', 'how hard the feed drive pushes, by a spring scale: 60lbf or 250N')
    .option('--plus <word>', 'which way the table goes in +, such as left; with --minus')
    .option('--minus <word>', 'which way it goes in -, such as right')
}

function add(
  name: string,
  options: AxisCommandOptions & { travel: string; dial: string; ranges?: string },
): Promise<void> {
  return withStore(options, 'write', (store) => {
    const machine = onlyMachine(store, options.machine)
    const unit = options.rotary ? 'deg' : machine.unit
    const wanted: NewAxis = {
      leadscrewPitchMm: null,
      dialClicks: false,
      ...changesFrom(options, machine, unit),
      ...enteredDial(
        parseRange(options.dial, '--dial'),
        options.marks ?? null,
        '--marks',
        options.stepped === true,
      ),
      name,
      travelMm: parseLengthMm(options.travel, unit, '--travel'),
    }
    const ranges = options.ranges === undefined ? [] : parseRangeNames(options.ranges, '--ranges')
    const added = addAxis(store, machine.id, wanted, ranges, nowIso())
    askAboutTravel(added[0]!, options.travel)
    if (ranges.length === 0) return present({ machine, axis: added[0] }, options)
    if (options.json) {
      printJson({ machine: machine.name, axes: added.map((axis) => axisJson(axis, machine)) })
    } else {
      printResult(added.map((axis) => `${machine.name} · ${describeAxis(axis, machine)}`).join('\n'))
    }
  })
}

function change(name: string, options: AxisCommandOptions): Promise<void> {
  return withAxis({ ...options, axis: name }, 'write', (store, { machine, axis }) => {
    const changed = store.axes.change(
      axis.id,
      {
        ...changesFrom(options, machine, options.rotary ? 'deg' : axis.unit),
        ...dialChanges(options, axis),
      },
      nowIso(),
    )
    if (options.travel !== undefined) askAboutTravel(changed, options.travel)
    present({ machine, axis: changed }, options)
  })
}

/** Says of a travel that no usual table has what its number was more likely meant in. @param travel as it was entered */
function askAboutTravel({ name, travelMm, unit }: Axis, travel: string): void {
  const meant = travelMeantIn(travelMm, unit)
  if (meant === null) return
  const number = travel.match(/[\d.,]+/)?.[0]
  say(`${travelQuestion(travelMm, unit)} tablepace axis change ${argument(name)} --travel ${number}${meant}`)
}

function list(options: AxisCommandOptions): Promise<void> {
  return withStore(options, 'read', (store) => {
    const machines =
      options.machine === undefined ? store.machines.list() : [store.machines.byName(options.machine)]
    const found = machines.flatMap((machine) =>
      store.axes.list(machine.id).map((axis) => ({ machine, axis })),
    )
    if (options.json) {
      return printJson({
        axes: found.map(({ machine, axis }) => ({ machine: machine.name, ...axisJson(axis, machine) })),
      })
    }
    printResult(
      found.length === 0
        ? 'No axis yet. Add one: tablepace axis add X --travel 20in --dial 0..10'
        : found.map(({ machine, axis }) => `${machine.name} · ${describeAxis(axis, machine)}`).join('\n'),
    )
  })
}

function show(name: string, options: AxisCommandOptions): Promise<void> {
  return withAxis({ ...options, axis: name }, 'read', (_, target) => present(target, options))
}

function remove(name: string, options: AxisCommandOptions): Promise<void> {
  return withAxis({ ...options, axis: name }, 'write', (store, { machine, axis }) => {
    store.axes.remove(axis.id, nowIso())
    if (options.json) return printJson({ removed: axis.name, machine: machine.name })
    printResult(
      `${axis.name} is retired; its runs and tables are kept. Bring it back: tablepace axis restore ${argument(axis.name)} --machine ${argument(machine.name)}`,
    )
  })
}

function restore(name: string, options: AxisCommandOptions): Promise<void> {
  return withStore(options, 'write', (store) => {
    const machine = onlyMachine(store, options.machine)
    present({ machine, axis: store.axes.restore(machine.id, name, nowIso()) }, options)
  })
}

function changesFrom(options: AxisCommandOptions, machine: Machine, unit: LengthUnit): Partial<NewAxis> {
  return {
    ...(options.name === undefined ? {} : { name: options.name }),
    ...(options.travel === undefined ? {} : { travelMm: parseLengthMm(options.travel, unit, '--travel') }),
    ...(options.rotary === undefined ? {} : { rotary: options.rotary }),
    ...(options.clicks === undefined ? {} : { dialClicks: options.clicks }),
    ...(options.pitch === undefined
      ? {}
      : { leadscrewPitchMm: parseLengthMm(options.pitch, unit, '--pitch') }),
    ...(options.push === undefined ? {} : { pushN: parseForceN(options.push, machine.unit, '--push') }),
    ...(options.plus === undefined && options.minus === undefined
      ? {}
      : { ways: { plus: options.plus ?? '', minus: options.minus ?? '' } }),
  }
}

/** What changes of the dial; marks and kind of a dial that keeps its numbers stay where they are not given. */
function dialChanges({ dial, marks, stepped, continuous }: AxisCommandOptions, axis: Axis): Partial<NewAxis> {
  const ends = dial === undefined ? null : parseRange(dial, '--dial')
  const kind = continuous ? { stepped: false } : stepped ? { stepped } : {}
  if (ends?.lettered) return { ...enteredDial(ends, marks ?? null, '--marks', true), ...kind }
  const named = marks === undefined ? {} : { marks: parseMarks(marks, '--marks', ends ?? axis) }
  if (ends === null) return { ...named, ...kind }
  return { dialMin: ends.min, dialMax: ends.max, lettered: false, ...named, ...kind }
}

function present({ machine, axis }: MachineAxis, options: AxisOptions): void {
  if (options.json) printJson({ machine: machine.name, ...axisJson(axis, machine) })
  else printResult(`${machine.name} · ${describeAxis(axis, machine)}`)
}
