export { runSelfcheck, type SelfcheckCase, type SelfcheckResult } from './run-selfcheck.js'
