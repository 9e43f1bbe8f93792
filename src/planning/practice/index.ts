export {
  numberAt,
  type PracticeMovement,
  passesAtS,
  practiceMovements,
  USUAL_ROUNDS,
} from './practice-plan.js'
