import type { BudgetLine } from '../planning/index.js'

/** What each source of uncertainty is, to a person. */
export const BUDGET_MEANINGS: Readonly<Record<BudgetLine['source'], string>> = {
  reading: "the runs' own slopes",
  clock: "rate of the readout's clock",
  stopwatch: 'presses and display',
  'run-to-run': 'changes from run to run',
  'dial reset': 'setting the dial again',
  'scatter while creeping': 'runs and dial, not told apart',
  'warm-up': 'allowing for the drive warming up',
  'sessions and travels': 'what runs of one session or travel share',
  curve: 'shape of the curve at and between marks',
  recheck: 'change since, from a recheck',
  'day to day': 'what another day may bring: voltage, warmth, friction',
}
