import type { Command } from 'commander'

/** Examples by command, for those whose help has nothing else to add. */
const EXAMPLES: Readonly<Record<string, readonly string[]>> = {
  'machine add': [
    'tablepace machine add Bench --units in --spindle 90,150,240,390,620,1000',
    'tablepace machine add "Small lathe" --units mm --motor 750W',
  ],
  'machine list': ['tablepace machine list'],
  'machine show': ['tablepace machine show Bench'],
  'machine change': ['tablepace machine change Bench --name "Bench mill"'],
  'machine remove': ['tablepace machine remove Bench'],
  'machine restore': ['tablepace machine restore Bench'],
  'axis add': [
    'tablepace axis add X --machine Bench --travel 21in --dial 0..10 --marks 2,4,6,8,10',
    'tablepace axis add A --machine Bench --rotary --travel 360deg --dial 0..10',
    'tablepace axis add Z --travel 400mm --dial 1..4 --marks 1,2,3,4 --stepped',
    'tablepace axis add Y --travel 9in --dial A..H',
    'tablepace axis add W --travel 9in --dial 1..10 --ranges LO,HI',
  ],
  'axis list': ['tablepace axis list'],
  'axis show': ['tablepace axis show X'],
  'axis change': ['tablepace axis change X --travel 20in'],
  'axis remove': ['tablepace axis remove X --machine Bench'],
  'axis restore': ['tablepace axis restore X --machine Bench'],
  runs: ['tablepace runs', 'tablepace runs --machine Bench --axis X'],
  traverse: [
    'tablepace traverse --port /dev/ttyUSB0 --dial 3.5 --tag load=free',
    'tablepace traverse --from 3=run-3.jsonl --from 5=run-5.jsonl',
    'tablepace traverse --dial 3 --distance 6in --time 28.4s --direction +',
    'tablepace traverse --from sheet.csv',
  ],
  'run show': ['tablepace run show F1GHJK'],
  'run drop': ['tablepace run drop F1GHJK --reason "lever slipped out"'],
  'run keep': ['tablepace run keep F1GHJK'],
  'run finish': ['tablepace run finish --machine Bench --axis X'],
  fit: ['tablepace fit', 'tablepace fit --reason "gibs adjusted"'],
  table: ['tablepace table', 'tablepace table --direction + --version 2'],
  tables: ['tablepace tables'],
  dial: [
    'tablepace dial 7in/min',
    'tablepace dial 180mm/min --direction -',
    'tablepace dial 7in/min --load cutting',
    'tablepace dial 30deg/min --machine Bench --axis A',
  ],
  feed: ['tablepace feed 3.5', 'tablepace feed "3 1/2" --direction -'],
  'readout ports': ['tablepace readout ports'],
  'readout watch': ['tablepace readout watch --port /dev/ttyUSB0'],
  'readout profiles': ['tablepace readout profiles'],
  selfcheck: ['tablepace selfcheck', 'tablepace selfcheck --cases my-cases.json'],
  doctor: ['tablepace doctor'],
  backup: ['tablepace backup --to tablepace-backup.db'],
  restore: ['tablepace restore tablepace-backup.db'],
  demo: ['tablepace demo', 'tablepace --store demo.db demo --seed 2'],
}

/** Adds the examples to the help of their commands. */
export function addExamples(program: Command): void {
  for (const [path, lines] of Object.entries(EXAMPLES)) {
    const command = path
      .split(' ')
      .reduce<Command | undefined>((at, name) => at?.commands.find((one) => one.name() === name), program)
    command?.addHelpText(
      'after',
      `\n${lines.length === 1 ? 'Example' : 'Examples'}\n  ${lines.join('\n  ')}\n`,
    )
  }
}
