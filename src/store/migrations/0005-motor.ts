/** What the spindle motor of a machine can do, W; null where it was not told. */
export const MOTOR = /* sql */ `
ALTER TABLE machine ADD COLUMN motor_w REAL CHECK (motor_w > 0 AND motor_w < 1e308);
`
