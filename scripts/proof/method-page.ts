import { FIT_METHOD, JUDGE_METHOD } from '../../src/regression/index.js'
import { DAY_DEGREES, DAY_SCALE } from '../../src/regression/scatter/day-effect.js'
import { EARLIER_POWER } from '../../src/regression/scatter/noise-model.js'

const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`

/** What is measured, how it is worked out, and what is assumed beforehand with its source: the report's first pages. */
export const METHOD: readonly string[] = [
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
  '## Model',
  '',
  'Log feed of a run = log of the dial curve at its mark + effect of its session + error of setting the dial × relative slope of the curve + scatter from run to run + error of reading. All effects are normal with standard deviations that are not known; these are averaged over their joint posterior on a grid, from the restricted likelihood of the repeats (Patterson and Thompson, Biometrika 58 (1971) 545-554; Lindley and Smith, J. R. Stat. Soc. B 34 (1972) 1-41). Intervals are quantiles of the mixture. One run: least squares on time with the turn of the leadscrew, the larger of the plain standard error and that of Newey and West. Odd runs: the contaminated-normal model of Box and Tiao (Biometrika 55 (1968) 119-129). Curve: Gaussian processes that never turn back, some with corners, level stretches or jumps, weighed by how well they foretell the marks and drawn through them.',
  '',
  '## What is assumed beforehand, and why',
  '',
  '| quantity | prior | source of its size |',
  '| --- | --- | --- |',
  '| scatter from run to run, relative | even in the logarithm, falling off as 1/(1 + (s/3 %)²) | common practice, no source |',
  '| scatter of setting the dial | the same, falling off beyond 1.1 % of the measured range | common practice, no source |',
  `| day effect, standard deviation of what a session moves all feeds by | half-t with ${DAY_DEGREES} degrees of freedom, scale ${percent(DAY_SCALE)} (Gelman, Bayesian Analysis 1 (2006) 515-534) | two measured geared motors on a battery, 4.5 % a session together, put at the 97.5 % point (\`fixtures/open-data\`) |`,
  `| scatter, on an axis that was measured before it moved | the likelihood of the earlier runs to the power ${EARLIER_POWER} (Ibrahim and Chen, Statistical Science 15 (2000) 46-60), a fifth of the prior without it (Schmidli and others, Biometrics 70 (2014) 1023-1032) | the axis itself |`,
  '| timing error of a press | 0.07 s | American Journal of Physics 87 (2019) 110, until a timing test measures it |',
  '| one run odd | one in a hundred, off by 15 % in the middle, Cauchy | common practice, no source |',
  '| form of the dial curve | half of all dials are smooth; the others have one corner, two, or a level stretch or jump, each as likely | principle of indifference |',
  '| a level stretch or jump within a gap | as likely anywhere along the dial; two standard deviations take all of the rise of the gap | a stretch cannot take more |',
  '| how far a smooth curve strays | even in the logarithm from 0.5 to 60 % of full scale, over a tenth of the dial to all of it | judgement |',
  '| what no mark shows within a gap | 0.75 × (gap / measured range)² of the rise, standard deviation | the power from the error of interpolation (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246), the size by `npm run proof:curve` |',
  '',
  'Where a source is wanting the coverage below is what speaks for the number, on machines drawn from ranges that stand in `scripts/proof/drawn-mill.ts`. The program is told none of them.',
  '',
]
