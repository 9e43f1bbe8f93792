export {
  MISSED_S,
  numberAt,
  type PracticeMovement,
  passesAtS,
  practiceMovements,
  practiceTimeS,
  SLIP_S,
  USUAL_ROUNDS,
} from './practice-plan.js'
