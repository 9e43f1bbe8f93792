/**
 * How every table was measured, as a field for other programs: runs under cut stay out of a table, so that none of its
 * feeds is promised for a cut.
 */
export const MEASURED = 'without a cut'

/** The same as a sentence for who reads a feed. */
export const MEASURED_SENTENCE = `Measured ${MEASURED}: under load the feed may drop.`
