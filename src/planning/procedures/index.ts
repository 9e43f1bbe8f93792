// A door of its own: reading procedures loads zod, which a lookup must not pay for.
export { builtInProcedure, builtInProcedureNames } from './built-in.js'
export {
  parseProcedure,
  parseRecheckAsked,
  parseSessionPlan,
  procedureSchema,
  type RecheckAsked,
} from './procedure-schema.js'
