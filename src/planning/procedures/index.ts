// A door of its own: reading procedures loads zod, which a lookup must not pay for.
export { builtInProcedure, builtInProcedureNames } from './built-in.js'
export { parseProcedure, parseSessionPlan, procedureSchema } from './procedure-schema.js'
