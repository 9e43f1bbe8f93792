import { LOST_FEED_SCALE } from '../../../src/planning/days/lost-feed.js'
import { MOST_UNSEEN, UNSEEN_IN_WHOLE } from '../../../src/regression/curve/bulge-between-marks.js'
import { PLAIN } from '../../../src/regression/curve/curve-forms.js'
import { AMPLITUDES, LENGTHS } from '../../../src/regression/curve/curve-hypotheses.js'
import { DEFAULT_PRESS_SPREAD_S, FIT_METHOD, JUDGE_METHOD } from '../../../src/regression/index.js'
import { DAY_DEGREES, DAY_SCALE, SEEN_DAY_SCALE } from '../../../src/regression/scatter/day-prior.js'
import {
  EARLIER_POWER,
  ODDS_ON_REPEATING,
  SELDOM_DIAL_SCATTER,
  SELDOM_RUN_SCATTER,
} from '../../../src/regression/scatter/noise-model.js'
import { ODD_SHARE, TYPICAL_OFFSET } from '../../../src/regression/scatter/odd-accounts.js'
import type { Point } from '../measured-motors.js'
import { motorScatters } from '../motor-sessions.js'

const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`

/** Where the measured motors are, as the report names it. */
const MOTORS = '`fixtures/open-data/dc-motor-speed.csv`'

/**
 * What is stated, how it is worked out, and what is assumed beforehand with its source: the report's first pages. Sizes
 * come from the program itself, those of the motors from their data.
 */
export function methodPage(motors: readonly Point[]): string[] {
  return [
    `Methods: ${FIT_METHOD.name} ${FIT_METHOD.version}, ${JUDGE_METHOD}.`,
    '',
    '## What is stated',
    '',
    'Each number stands with a 95 % interval: the coverage interval of the measurand named beside it (JCGM 200:2012, 2.36).',
    '',
    '| stated | measurand |',
    '| --- | --- |',
    '| one run | the mean feed of that traverse while it was steady |',
    '| mean of a mark | the mean feed of that dial setting over many settings, on the days of the table |',
    '| next setting | the feed of one run after the dial is set there again; the same day, or any day |',
    '| any day | the same for a day of which nothing is known; means are those over all days |',
    '| today | the same for a day that a check run was made on |',
    '| between marks | the mean feed of a dial setting that was not measured |',
    '| inverse | the dial setting whose mean feed is the one asked for |',
    '',
    '## Method',
    '',
    '**One run.** Position over time, least squares: x = a + v·t + b·sin(2πx/P) + c·cos(2πx/P) + e, P one turn of the leadscrew. u(v) is the larger of the plain standard error and that of Newey and West (Econometrica 55 (1987) 703-708), with Student’s t. By stopwatch: v = d/T, u(T)² = 2s² + (0.05 s)²/3, s the timing error of a press (JCGM 100:2008, 5.1.2).',
    '',
    '**Runs at marks.** ln v = mᵢ + D + gᵢ·δ + ε + e. At mark i: mᵢ the logarithm of its mean feed; D the effect of the session, sd s_day; δ the error of setting the dial, sd s_dial, and gᵢ the relative slope of the dial curve; ε the scatter from run to run, sd s_run; e the error of reading, sd u(v)/v. All are normal. Directions are marks of their own that share s_run, s_dial and s_day.',
    '',
    '**Scatter.** p(s_run, s_dial | runs) ∝ p(s_run)·p(s_dial)·∏ Lᵢ on a grid, Lᵢ the restricted likelihood of the runs at mark i, their mean integrated out (Patterson and Thompson, Biometrika 58 (1971) 545-554). Runs made without setting the dial again share δ.',
    '',
    '**Mark.** Mean: weighted by the inverse of the variances expected. Interval: the 2.5 and 97.5 % quantiles of Σ p_q·N(mᵢ, Vᵢ(q)), the sum over the grid, Vᵢ = (s_run² + gᵢ²·s_dial² + u²)/R for R runs alike; next setting: Vᵢ + s_run² + gᵢ²·s_dial², any day: + s_day².',
    '',
    '**Curve.** z = T(feed/fastest feed), T one of identity, square root, logarithm. z(u) = α + β·u + corners or stretches + A·G(u), u along the dial from 0 to 1, cov(α + βu, α + βw) = 4·(1 + 4uw), G a Gaussian process of Matérn 5/2 covariance with length ℓ. T, A, ℓ, the corners and the noise are weighed by the likelihood they give the marks (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, eq. 2.30) times the Jacobian of T. 1600 curves are drawn through the marks (Matheron’s rule: Journel and Huijbregts, Mining Geostatistics, 1978); those that turn back by over 0.5 % of full scale are dropped, the rest made monotone. The band is their 2.5 and 97.5 % quantiles at each place.',
    '',
    '**Inverse.** All dial settings whose band of the mean holds the feed asked for.',
    '',
    '**Odd runs.** Contaminated normal: a run is odd with a small probability and then says little (Box and Tiao, Biometrika 55 (1968) 119-129).',
    '',
    '**Days.** The shifts of all sessions against the table weigh the sizes of s_day by their joint normal density (Gelman and others, Bayesian Data Analysis, 3rd ed., 2013, 5.4). A check run is one more such shift. Answers for other days also know of a feed that a day loses or gains alike at all settings, V·l with V the fastest feed and l normal, in each direction by itself: it moves ln v by l·(V/v − 1.35), the common factor being that of settings with V/v = 1.35. Fits of several sessions and rechecks know the common factor alone.',
    '',
    '## What is assumed beforehand, and why',
    '',
    '| quantity | prior | source of its size | in |',
    '| --- | --- | --- | --- |',
    `| scatter from run to run, relative | even in the logarithm (Jeffreys, Theory of Probability, 3rd ed., 1961, 3.1) times a half-Cauchy of scale ${percent(SELDOM_RUN_SCATTER)} (Gelman, Bayesian Analysis 1 (2006) 515-534) | measured, just beyond the worst of two motors: ${motorScatters(motors)} (${MOTORS}, speeds from command 100 on, the common factor of a session taken out) | \`scatter/noise-model.ts\` |`,
    `| scatter of setting the dial, share of the measured range | the same with scale ${percent(SELDOM_DIAL_SCATTER)} | derived: a scale is read to a tenth of a division (common practice, no source), nine divisions | \`scatter/noise-model.ts\` |`,
    `| no such scatter, where the dial is said to click | odds ${ODDS_ON_REPEATING} to 1 | judgement | \`scatter/noise-model.ts\` |`,
    `| day effect, standard deviation of what a session moves all feeds by | half-t with ${DAY_DEGREES} degrees of freedom, scale ${percent(DAY_SCALE)}; of a day with runs ${percent(SEEN_DAY_SCALE)} | measured: the same two motors on a battery, 4.5 % a session together, put at the 97.5 % point (${MOTORS}); mains drives agree: ±10 % of supply voltage (EN 50160, from memory) | \`scatter/day-prior.ts\` |`,
    `| feed that a session loses or gains alike at all settings, standard deviation, share of the fastest | half-t with ${DAY_DEGREES} degrees of freedom, scale ${percent(LOST_FEED_SCALE)} | measured: the left motor alone, 1.6 % a session, put at the 99.5 % point (${MOTORS}); the right motor is what it is judged by | \`../planning/days/lost-feed.ts\` |`,
    `| scatter, on an axis that was measured before it moved | the likelihood of the earlier runs to the power ${EARLIER_POWER} (Ibrahim and Chen, Statistical Science 15 (2000) 46-60), a fifth of the prior without it (Schmidli and others, Biometrics 70 (2014) 1023-1032) | the axis itself | \`scatter/noise-model.ts\` |`,
    `| timing error of a press | ${DEFAULT_PRESS_SPREAD_S} s | published: American Journal of Physics 87 (2019) 110, until a timing test measures it | \`run/stopwatch-feed.ts\` |`,
    `| one run odd | ${percent(ODD_SHARE)} of all, off by ${percent(TYPICAL_OFFSET)} in the middle, Cauchy | common practice, no source | \`scatter/odd-accounts.ts\` |`,
    `| form of the dial curve | ${percent(PLAIN)} of all dials are smooth; the others have one corner, two, or a level stretch or jump, each as likely | principle of indifference | \`curve/curve-forms.ts\` |`,
    '| change of slope at a corner | normal, standard deviation 1, the slope of a straight dial | judgement: a dead band’s end changes it by all of itself | `curve/curve-kinks.ts` |',
    '| a level stretch or jump within a gap | as likely anywhere along the dial; two standard deviations take all of the rise of the gap | derived: a stretch cannot take more | `curve/level-stretch.ts` |',
    `| how far a smooth curve strays, A | even in the logarithm from ${percent(AMPLITUDES[0]!)} to ${percent(AMPLITUDES.at(-1)!)} of full scale | judgement | \`curve/curve-hypotheses.ts\` |`,
    `| how far along the dial, ℓ | ${LENGTHS.join(', ')} of the measured range, each as likely | judgement | \`curve/curve-hypotheses.ts\` |`,
    `| what no mark shows within a gap | normal, standard deviation ${UNSEEN_IN_WHOLE} × (gap / measured range)² of the rise, at most ${percent(MOST_UNSEEN)} | the power from the error of interpolation (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246), the sizes measured by \`npm run proof:curve\`: the least with which tracks that waver are held in 93 % of the places between four marks | \`curve/bulge-between-marks.ts\` |`,
    '',
    'Files are those of `src/regression`. Where a source is wanting the coverage below is what speaks for the number, on machines drawn from ranges that stand in `scripts/proof/machines/drawn-mill.ts` and families in `scripts/proof/machines/dial-families.ts`. The program is told none of them.',
    '',
  ]
}
