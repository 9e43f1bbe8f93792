import type { Command } from 'commander'
import type { Axis, Machine, NewMachine, Store } from '../../store/index.js'
import {
  formatLength,
  formatSpindleSpeeds,
  type MachineUnit,
  parsePowerW,
  parseSpindleSpeeds,
  writeDial,
} from '../../units/index.js'
import { bothForces } from '../../words/both-systems.js'
import { pitchWord } from '../../words/pitch-word.js'
import { type GlobalOptions, nowIso, withStore } from '../context.js'
import { forceJson, lengthJson } from '../json-shapes.js'
import { unitOption } from '../options.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { argument, EXAMPLE_TRAVEL } from '../wording.js'

interface MachineOptions extends GlobalOptions {
  readonly units?: MachineUnit
  readonly spindle?: string
  readonly motor?: string
  readonly name?: string
  readonly all?: boolean
}

/** `machine add | list | show | change | remove | restore`. */
export function registerMachine(program: Command): void {
  const machine = program.command('machine').description('machines: name, units, spindle speeds, axes')
  machine
    .command('add <name>')
    .description('add a machine')
    .addOption(unitOption('--units <unit>', 'units the machine is built in').makeOptionMandatory())
    .option('--spindle <list>', 'spindle speeds, rpm, separated by commas; a variable drive as 60..4200')
    .option('--motor <power>', 'power of the spindle motor, such as 1.5hp or 1100W')
    .action((name: string, _: unknown, command: Command) => add(name, command.optsWithGlobals()))
  machine
    .command('list')
    .description('list machines and their axes')
    .option('--all', 'retired ones too')
    .action((_: unknown, command: Command) => list(command.optsWithGlobals()))
  machine
    .command('show <name>')
    .description('show one machine')
    .action((name: string, _: unknown, command: Command) => show(name, command.optsWithGlobals()))
  machine
    .command('change <name>')
    .description('change a machine; its runs and tables are kept')
    .option('--name <name>', 'new name')
    .addOption(unitOption('--units <unit>', 'units for showing, and for numbers without a unit'))
    .option('--spindle <list>', 'spindle speeds, rpm, separated by commas; a variable drive as 60..4200')
    .option('--motor <power>', 'power of the spindle motor, such as 1.5hp or 1100W')
    .action((name: string, _: unknown, command: Command) => change(name, command.optsWithGlobals()))
  machine
    .command('remove <name>')
    .description('retire a machine; its runs and tables are kept')
    .action((name: string, _: unknown, command: Command) => remove(name, command.optsWithGlobals()))
  machine
    .command('restore <name>')
    .description('bring back a retired machine')
    .action((name: string, _: unknown, command: Command) => restore(name, command.optsWithGlobals()))
}

function add(name: string, options: MachineOptions): Promise<void> {
  return withStore(options, 'write', (store) => {
    const added: NewMachine = { name, unit: options.units ?? 'in', spindleRpm: [], ...changesFrom(options) }
    present(store, store.machines.add({ ...added, name }, nowIso()), options)
  })
}

function list(options: MachineOptions): Promise<void> {
  return withStore(options, 'read', (store) => {
    const machines = store.machines.list({ includeRemoved: options.all === true })
    if (options.json) return printJson({ machines: machines.map((machine) => machineJson(store, machine)) })
    if (machines.length === 0) {
      const isEmpty = options.all === true || store.machines.list({ includeRemoved: true }).length === 0
      return printResult(
        isEmpty
          ? 'No machine yet. Add one: tablepace machine add NAME --units in'
          : 'Every machine is retired. See them: tablepace machine list --all',
      )
    }
    const rows = machines.map((machine) => [
      machine.name + (machine.removedAt === null ? '' : ' (retired)'),
      machine.unit,
      store.axes
        .list(machine.id)
        .map((axis) => axis.name)
        .join(', ') || '–',
      formatSpindleSpeeds(machine.spindleRpm) || '–',
    ])
    const titles = ['machine', 'units', 'axes', 'spindle rpm']
    printResult(
      textTable(
        titles.map((title) => ({ title, align: 'left' as const })),
        rows,
      ),
    )
  })
}

function show(name: string, options: MachineOptions): Promise<void> {
  return withStore(options, 'read', (store) => present(store, store.machines.byName(name), options))
}

function change(name: string, options: MachineOptions): Promise<void> {
  return withStore(options, 'write', (store) => {
    const { id } = store.machines.byName(name)
    present(store, store.machines.change(id, changesFrom(options), nowIso()), options)
  })
}

function remove(name: string, options: MachineOptions): Promise<void> {
  return withStore(options, 'write', (store) => {
    const machine = store.machines.byName(name)
    store.machines.remove(machine.id, nowIso())
    if (options.json) return printJson({ removed: machine.name })
    printResult(
      `${machine.name} is retired; its runs and tables are kept. Bring it back: tablepace machine restore ${argument(machine.name)}`,
    )
  })
}

function restore(name: string, options: MachineOptions): Promise<void> {
  return withStore(options, 'write', (store) =>
    present(store, store.machines.restore(name, nowIso()), options),
  )
}

function changesFrom(options: MachineOptions): Partial<NewMachine> {
  return {
    ...(options.name === undefined ? {} : { name: options.name }),
    ...(options.units === undefined ? {} : { unit: options.units }),
    ...(options.spindle === undefined
      ? {}
      : { spindleRpm: parseSpindleSpeeds(options.spindle, '--spindle') }),
    ...(options.motor === undefined ? {} : { motorPowerW: parsePowerW(options.motor, '--motor') }),
  }
}

function present(store: Store, machine: Machine, options: GlobalOptions): void {
  if (options.json) printJson(machineJson(store, machine))
  else printResult(describeMachine(store, machine))
}

function describeMachine(store: Store, machine: Machine): string {
  const spindle =
    machine.spindleRpm.length === 0 ? 'not given' : `${formatSpindleSpeeds(machine.spindleRpm)} rpm`
  const motor = machine.motorPowerW === null ? '' : ` · motor ${Math.round(machine.motorPowerW)} W`
  const axes = store.axes.list(machine.id).map((axis) => `  ${describeAxis(axis, machine)}`)
  return [
    `${machine.name} · units ${machine.unit} · spindle ${spindle}${motor}`,
    ...(axes.length === 0
      ? [
          `  no axis yet; add one: tablepace axis add X --machine ${argument(machine.name)} --travel ${EXAMPLE_TRAVEL[machine.unit]} --dial 0..10`,
        ]
      : axes),
  ].join('\n')
}

/** One axis in a line of text. */
export function describeAxis(axis: Axis, machine: Machine): string {
  const { unit } = axis
  const told = (dial: number) => writeDial(dial, axis)
  const marks = axis.marks.length === 0 ? '' : `, marks ${axis.marks.map(told).join(' ')}`
  const kind = axis.stepped ? ', stepped' : axis.dialClicks ? ', clicks into place' : ''
  const ways = axis.ways === null ? '' : `, + is ${axis.ways.plus}, - is ${axis.ways.minus}`
  const push = axis.pushN === null ? '' : `, the drive pushes ${bothForces(axis.pushN, machine.unit)}`
  const pitch =
    axis.leadscrewPitchMm === null ? '' : `, ${pitchWord(axis)} ${formatLength(axis.leadscrewPitchMm, unit)}`
  const turns = axis.rotary ? 'turns, ' : ''
  const range = axis.range === undefined ? '' : `, range ${axis.range.name} of ${axis.range.of}`
  return `${axis.name}: ${turns}travel ${formatLength(axis.travelMm, unit)}, dial ${told(axis.dialMin)}..${told(axis.dialMax)}${marks}${kind}${range}${pitch}${push}${ways}`
}

/** An axis as JSON in its unit. */
export function axisJson(axis: Axis, machine: Machine): Record<string, unknown> {
  const { unit } = axis
  return {
    name: axis.name,
    ...(axis.range ? { range: axis.range } : {}),
    ...(axis.rotary ? { rotary: true } : {}),
    travel: lengthJson(axis.travelMm, unit),
    dial: {
      min: axis.dialMin,
      max: axis.dialMax,
      marks: axis.marks,
      ...(axis.lettered ? { labels: axis.marks.map((mark) => writeDial(mark, axis)) } : {}),
    },
    stepped: axis.stepped,
    ...(axis.lettered ? { lettered: true } : {}),
    clicks: axis.dialClicks,
    leadscrewPitch: axis.leadscrewPitchMm === null ? null : lengthJson(axis.leadscrewPitchMm, unit),
    push: axis.pushN === null ? null : forceJson(axis.pushN, machine.unit),
    ways: axis.ways,
    removedAt: axis.removedAt,
  }
}

function machineJson(store: Store, machine: Machine): unknown {
  return {
    name: machine.name,
    units: machine.unit,
    spindleRpm: machine.spindleRpm,
    motorPowerW: machine.motorPowerW,
    axes: store.axes.list(machine.id).map((axis) => axisJson(axis, machine)),
    removedAt: machine.removedAt,
  }
}
