/** Most positions of one film that are sent. Derived: with 17 characters each they fit into the 64 kB of a request. */
export const MOST_FILM_POSITIONS = 3500
