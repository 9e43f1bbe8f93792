/** Most positions of one film that are sent. Derived: with 17 characters each they fit into the 64 kB of a request. */
export const MOST_FILM_POSITIONS = 3500

/** Loosest wish for a table or a recheck that is taken, percent. Judgement: a looser one tells nothing of a feed. */
export const MOST_PERCENT = 50
