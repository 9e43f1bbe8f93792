export { runSelfcheck, type SelfcheckCase, type SelfcheckResult, type SkippedCase } from './run-selfcheck.js'
