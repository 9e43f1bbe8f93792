/** What page and server say to each other of the machines, and of what is kept of them. */

import type { FeedAnswer } from '../planning/index.js'
import type { StoredTable, TableSummary } from '../store/index.js'
import type { Direction } from '../traverse/index.js'
import type { PageMachine, PageRun, TakeAnswer, Telling } from './api.js'
import type {
  AddAxisRequest,
  AddMachineRequest,
  AdviceRequest,
  ChangeAxisRequest,
  ChangeMachineRequest,
  CompareRequest,
  LearnRequest,
  MachineRequest,
  MoveRequest,
  PracticeRequest,
  SaveProfileRequest,
  StopsRequest,
} from './machine-requests.js'
import type { AxisRequest, EmptyRequest } from './requests.js'

export type {
  AddMachineRequest,
  AdviceRequest,
  AxisFields,
  ChangeAxisRequest,
  ChangeMachineRequest,
  CompareRequest,
  MachineFields,
  NewAxisFields,
  StopsRequest,
} from './machine-requests.js'

/** What the page may tell the program of the machines, by its path. */
export interface MachineTold {
  readonly 'machine/add': Telling<AddMachineRequest, AddedMachine>
  /** Adds a mill that was never built, with its runs and its table. */
  readonly 'machine/simulate': Telling<EmptyRequest, AddedAxis>
  readonly 'machine/change': Telling<ChangeMachineRequest, void>
  readonly 'machine/retire': Telling<MachineRequest, void>
  readonly 'machine/bring-back': Telling<MachineRequest, void>
  readonly 'axis/add': Telling<AddAxisRequest, AddedAxis>
  readonly 'axis/change': Telling<ChangeAxisRequest, void>
  readonly 'axis/retire': Telling<AxisRequest, void>
  readonly 'axis/bring-back': Telling<AxisRequest, void>
  readonly compare: Telling<CompareRequest, ComparisonAnswer>
  readonly 'runs/finish': Telling<AxisRequest, FinishedAnswer>
  readonly stops: Telling<StopsRequest, StopsAnswer>
  readonly advice: Telling<AdviceRequest, AdviceAnswer>
  readonly practice: Telling<PracticeRequest, void>
  readonly 'readout/learn': Telling<LearnRequest, void>
  readonly 'readout/move': Telling<MoveRequest, void>
  readonly 'readout/moved': Telling<EmptyRequest, void>
  readonly 'readout/choose': Telling<Pick<MoveRequest, 'column'>, void>
  readonly 'readout/save': Telling<SaveProfileRequest, void>
  readonly 'readout/stop': Telling<EmptyRequest, void>
}

/** A machine that was added, and the axis that came with it; null where none did. */
export interface AddedMachine {
  readonly machineId: number
  readonly axisId: number | null
}

export interface AddedAxis {
  readonly axisId: number
}

/** Every machine with every axis, those put away among them. */
export interface MachinesAnswer {
  readonly machines: readonly PageMachine[]
}

/** A drawing that the program made, as SVG. */
export interface DrawingAnswer {
  readonly svg: string
}

/** Every version of the tables of an axis, the newest first. */
export interface VersionsAnswer {
  readonly versions: readonly (TableSummary & {
    /** Lookups answer from it. */
    readonly inForce: boolean
  })[]
}

/** One version of a table, and what stands against it. */
export interface TableAnswer {
  readonly table: StoredTable
  readonly warnings: readonly string[]
}

/** Where one feed of a table comes from. */
export interface ExplanationAnswer {
  readonly answer: FeedAnswer
  /** Its uncertainty by source, percent of the feed; null where the table cannot be made again from its runs. */
  readonly budget: {
    readonly lines: readonly {
      readonly source: string
      readonly meaning: string
      readonly meanPercent: number | null
      readonly nextPercent: number | null
    }[]
    readonly combinedPercent: { readonly mean: number | null; readonly next: number | null }
  } | null
  readonly notes: readonly string[]
  readonly runs: readonly {
    readonly run: PageRun
    /** Relative change of this feed for a relative change of the run's; null where it is not known. */
    readonly weight: number | null
  }[]
  readonly leftOut: readonly { readonly run: PageRun; readonly why: string }[]
}

/** How two groups of runs differ. */
export interface ComparisonAnswer {
  readonly headline: string
  readonly verdict: 'alike' | 'different' | 'undecided'
  readonly left: string
  readonly right: string
  readonly marks: readonly {
    readonly dial: number
    /** Null where the two directions are compared. */
    readonly direction: Direction | null
    readonly leftMmPerMin: number
    readonly left95: readonly [number, number] | null
    readonly rightMmPerMin: number
    readonly right95: readonly [number, number] | null
    /** With its 95 % interval, in words. */
    readonly difference: string
    readonly runs: readonly [left: number, right: number]
  }[]
  /** All marks together, in words. */
  readonly overall: string
  readonly conditions: readonly string[]
}

/** Kinds of file that tables are handed on as. */
export type FileFormat = 'csv' | 'json' | 'datapackage' | 'card-html' | 'card-svg' | 'xlsx' | 'markdown'

/** What the page may hand over as a file, by its path; what comes back. */
export interface Uploads {
  readonly import: ImportAnswer
  readonly restore: RestoreAnswer
  readonly recordings: ReadFileAnswer
}

/** What came of the runs in a file. */
export interface ReadFileAnswer {
  readonly notes: readonly string[]
  readonly takes: readonly TakeAnswer[]
}

/** What was brought in, in sentences. */
export interface ImportAnswer {
  readonly sentences: readonly string[]
}

/** Where the store that was there before is kept now, on the computer; null where there was none. */
export interface RestoreAnswer {
  readonly replaced: string | null
}

/** What was found when everything that a measurement rests on was looked at. */
export interface DoctorAnswer {
  readonly findings: readonly {
    readonly check: 'store' | 'space' | 'clock' | 'port'
    readonly state: 'ok' | 'look' | 'bad'
    readonly finding: string
    readonly wayOut: string | null
  }[]
  /** Axes with recordings that broke off before they were judged. */
  readonly brokenOff: readonly {
    readonly axisId: number
    readonly name: string
    readonly recordings: number
  }[]
}

/** What became of recordings that were broken off. */
export interface FinishedAnswer {
  readonly runs: readonly PageRun[]
  readonly problems: readonly string[]
}

/** How far short of the hard end the limit stop must trip. */
export interface StopsAnswer {
  readonly answer: string
  readonly why: readonly string[]
  /** What it holds for and what not. */
  readonly limits: readonly string[]
  readonly cautions: readonly string[]
  readonly coasts: readonly {
    readonly setting: string
    readonly feedMmPerMin: number
    readonly coasts: number
    readonly meanMm: number
    /** The next coast stays below with 95 % probability; in words. */
    readonly below: string
  }[]
}

/** How many runs to make, and why so many. */
export interface AdviceAnswer {
  readonly answer: readonly string[]
  readonly why: readonly string[]
}

/** Those whose presses were measured, by their last timing test. */
export interface PeopleAnswer {
  readonly people: readonly {
    readonly person: string
    readonly at: string
    readonly rounds: number
    readonly latenessS: number
    readonly biasS: number
    readonly biasUncertaintyS: number
    readonly spreadS: number
    readonly pressSpreadS: number
  }[]
}
