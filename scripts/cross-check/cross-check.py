"""Computes with NumPy and SciPy what tests/proof/cross-check.test.ts holds the program's own functions against.

Nothing here is taken from the program: each result comes by another way (nonlinear least squares, dense covariance
matrices, contrasts instead of integrated means, root finding, Monte Carlo). Reads inputs.json beside the results:

    node scripts/cross-check/make-inputs.js
    /usr/bin/python3 scripts/cross-check/cross-check.py

Made with the python3-numpy and python3-scipy packages of Debian 12; `made_with` in results.json has the versions.
"""

import json
import platform
from pathlib import Path

import numpy as np
import scipy
from scipy import interpolate, linalg, optimize, stats

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "cross-check"


def newey_west(design, residuals, lag):
    """Sandwich covariance with Bartlett weights as one dense n-by-n matrix, factor n/(n - p)."""
    n, p = design.shape
    distance = np.abs(np.subtract.outer(np.arange(n), np.arange(n)))
    weights = np.clip(1 - distance / (lag + 1), 0, None)
    bread = np.linalg.inv(design.T @ design)
    meat = design.T @ (np.outer(residuals, residuals) * weights) @ design
    return n / (n - p) * bread @ meat @ bread


def run_slope(run):
    """Line and leadscrew ripple: the ripple follows the turn, so the fit is nonlinear in offset and speed."""
    time = np.array(run["timeS"])
    position = np.array(run["positionMm"])
    pitch = run["leadscrewPitchMm"]
    centred = time - time.mean()

    def model(parameters):
        offset, speed, a, b = parameters
        turned = offset + speed * centred
        angle = 2 * np.pi * turned / pitch
        return turned + a * np.sin(angle) + b * np.cos(angle)

    slope, offset = np.polyfit(centred, position, 1)
    starts = [(offset, slope, 0.0, 0.0)]
    fit = min(
        (
            optimize.least_squares(lambda q: model(q) - position, s, xtol=1e-15, ftol=1e-15, gtol=1e-15)
            for s in starts
        ),
        key=lambda one: one.cost,
    )
    offset, speed, a, b = fit.x
    angle = 2 * np.pi * (offset + speed * centred) / pitch
    design = np.column_stack([np.ones_like(time), centred, np.sin(angle), np.cos(angle)])
    coefficients, *_ = np.linalg.lstsq(design, position, rcond=None)
    residuals = position - design @ coefficients
    n, p = design.shape
    plain = residuals @ residuals / (n - p) * np.linalg.inv(design.T @ design)[1, 1]
    lag = int(np.floor(4 * (n / 100) ** (2 / 9))) + 1
    robust = newey_west(design, residuals, lag)[1, 1]
    return {
        "id": run["id"],
        "feedMmPerMin": 60 * abs(speed),
        "plainErrorMmPerMin": 60 * np.sqrt(plain),
        "neweyWestErrorMmPerMin": 60 * np.sqrt(robust),
        "rippleAmplitudeMm": np.hypot(a, b),
        "degreesOfFreedom": n - p,
    }


def linear_fit(case):
    design = np.array(case["design"])
    y = np.array(case["y"])
    coefficients, *_ = np.linalg.lstsq(design, y, rcond=None)
    residuals = y - design @ coefficients
    n, p = design.shape
    covariance = residuals @ residuals / (n - p) * np.linalg.inv(design.T @ design)
    return {
        "id": case["id"],
        "coefficients": coefficients,
        "standardDeviations": np.sqrt(np.diag(covariance)),
        "neweyWest": [
            {"lag": lag, "standardErrors": np.sqrt(np.diag(newey_west(design, residuals, lag)))}
            for lag in case["lags"]
        ],
    }


def monotone_curve(case):
    curve = interpolate.PchipInterpolator(case["x"], case["y"])
    return {
        "id": case["id"],
        "slopes": curve.derivative()(case["x"]),
        "values": curve(case["at"]),
    }


def rising(case):
    """Least squares under y1 <= y2 <= ...: a first level and steps that are not negative, by non-negative solving."""
    y = np.array(case["y"])
    n = len(y)
    steps = np.tril(np.ones((n, n)))
    # The first level may be negative: written as the difference of two non-negative numbers.
    solution, _ = optimize.nnls(np.column_stack([steps, -np.ones(n)]), y)
    return {"id": case["id"], "values": steps @ solution[:n] - solution[n]}


def quantiles(asked):
    return {
        "normal": [{"p": p, "x": stats.norm.ppf(p)} for p in asked["probabilities"]],
        "studentT": [
            {"p": p, "df": df, "x": stats.t.ppf(p, df)} for p in asked["probabilities"] for df in asked["degrees"]
        ],
        "chiSquare": [
            {"p": p, "df": df, "x": stats.chi2.ppf(p, df)} for p in asked["probabilities"] for df in asked["degrees"]
        ],
        "normalCdf": [{"x": x, "p": stats.norm.cdf(x)} for x in asked["places"]],
        "studentTCdf": [
            {"x": x, "df": df, "p": stats.t.cdf(x, df)} for x in asked["places"] for df in asked["degrees"]
        ],
    }


def scatter_covariance(mark, run_relative, dial_reset):
    """Dense covariance of the log feeds of one mark's runs; runs of one setting share the dial's error."""
    n = len(mark["feedsMmPerMin"])
    same = np.zeros((n, n))
    for setting in mark["settings"]:
        same[np.ix_(setting, setting)] = 1
    own = np.square(mark["relativeUncertainties"])
    slope = mark["slopeMmPerMin"] / mark["meanFeedMmPerMin"]
    return np.diag(run_relative**2 + own) + (slope * dial_reset) ** 2 * same


def restricted_log_likelihood(marks, run_relative, dial_reset):
    """Log density of contrasts: what is left of the log feeds in a basis at right angles to their common mean."""
    total = 0.0
    for mark in marks:
        y = np.log(mark["feedsMmPerMin"])
        if len(y) < 2:
            continue
        contrasts = linalg.null_space(np.ones((1, len(y))))
        covariance = contrasts.T @ scatter_covariance(mark, run_relative, dial_reset) @ contrasts
        total += stats.multivariate_normal.logpdf(contrasts.T @ y, np.zeros(len(y) - 1), covariance)
    return total


def noise(case):
    """The likelihood on the points given, and the restricted-likelihood estimate of both scatters."""

    def negative(logs):
        return -restricted_log_likelihood(case["marks"], *np.exp(logs))

    best = min(
        (
            optimize.minimize(negative, np.log(start), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-10})
            for start in [(0.005, 0.02), (0.02, 0.05), (0.01, 0.005)]
        ),
        key=lambda one: one.fun,
    )
    return {
        "id": case["id"],
        "logLikelihoods": [
            {**point, "value": restricted_log_likelihood(case["marks"], point["runRelative"], point["dialReset"])}
            for point in case["points"]
        ],
        "estimate": {"runRelative": np.exp(best.x[0]), "dialReset": np.exp(best.x[1]), "logLikelihood": -best.fun},
    }


def mark_mean(case):
    """Generalised least squares of one mean with known scatters, by dense solves; normal intervals of log feed."""
    mark = case["mark"]
    y = np.log(mark["feedsMmPerMin"])
    covariance = scatter_covariance(mark, case["runRelative"], case["dialReset"])
    ones = np.ones(len(y))
    information = ones @ linalg.solve(covariance, ones)
    mean = ones @ linalg.solve(covariance, y) / information
    slope = mark["slopeMmPerMin"] / mark["meanFeedMmPerMin"]
    next_variance = 1 / information + case["runRelative"] ** 2 + (slope * case["dialReset"]) ** 2
    z = stats.norm.ppf(0.975)
    return {
        "id": case["id"],
        "feedMmPerMin": np.exp(mean),
        "interval95": np.exp(mean + z / np.sqrt(information) * np.array([-1, 1])),
        "nextSetting95": np.exp(mean + z * np.sqrt(next_variance) * np.array([-1, 1])),
    }


def mixture(case):
    sigmas = np.array([part["standardDeviation"] for part in case["parts"]])
    weights = np.array([part["weight"] for part in case["parts"]])

    def beyond(half):
        return 2 * weights @ stats.norm.sf(half / sigmas) - (1 - case["probability"])

    return {"id": case["id"], "halfWidth": optimize.brentq(beyond, 1e-12, 50 * sigmas.max(), xtol=1e-15, rtol=1e-14)}


def matern52(distance, length):
    """From the general Matern form with the modified Bessel function, smoothness 5/2."""
    from scipy.special import gamma, kv

    scaled = np.sqrt(5) * np.abs(distance) / length
    safe = np.where(scaled == 0, 1, scaled)
    value = 2 ** (1 - 2.5) / gamma(2.5) * safe**2.5 * kv(2.5, safe)
    return np.where(scaled == 0, 1.0, value)


def curve_mean(case):
    """Gaussian-process mean and standard deviation for given hyperparameters by dense solves.

    Prior: a line with variance 4 at place 0 and 16 of its steepness, a Matern-5/2 stray, and where there is a kink a
    ramp of unit normal slope past it.
    """
    u = np.array(case["places"])
    at = np.array(case["at"])
    kink = case["kink"]

    def ramp(places):
        if kink is None:
            return np.zeros_like(places)
        return np.maximum(0, places - kink["place"])

    def prior(a, b):
        line = 4 + 16 * np.outer(a, b)
        stray = case["amplitude"] ** 2 * matern52(np.subtract.outer(a, b), case["length"])
        return line + stray + np.outer(ramp(a), ramp(b))

    z = np.array(case["values"])
    covariance = prior(u, u) + np.diag(np.square(case["deviations"]))
    cross = prior(at, u)
    mean = cross @ linalg.solve(covariance, z, assume_a="pos")
    variance = np.diag(prior(at, at) - cross @ linalg.solve(covariance, cross.T, assume_a="pos"))
    return {
        "id": case["id"],
        "covariance": covariance,
        "logDensity": stats.multivariate_normal.logpdf(z, np.zeros(len(z)), covariance),
        "mean": mean,
        "standardDeviation": np.sqrt(variance),
    }


def stopwatch(case):
    """Monte Carlo after JCGM 101: two normal presses and a rectangular watch error of half width 0.05 s."""
    random = np.random.default_rng(20240607)
    draws = 2_000_000
    s = case["pressSpreadS"]
    time = case["durationS"] + random.normal(0, s, draws) - random.normal(0, s, draws)
    time += random.uniform(-0.05, 0.05, draws)
    distance = case["distanceMm"] + random.normal(0, case["distanceUncertaintyMm"], draws)
    feeds = 60 * distance / time
    return {
        "id": case["id"],
        "feedMmPerMin": 60 * case["distanceMm"] / case["durationS"],
        "standardUncertaintyMmPerMin": feeds.std(),
        "interval95MmPerMin": np.quantile(feeds, [0.025, 0.975]),
    }


def plain(value):
    """What json can write."""
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain(one) for one in value]
    return value.item() if isinstance(value, np.generic) else value


def main():
    inputs = json.loads((FOLDER / "inputs.json").read_text())
    results = {
        "made_with": f"Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}",
        "runSlopes": [run_slope(run) for run in inputs["runs"]],
        "linearFits": [linear_fit(case) for case in inputs["linearFits"]],
        "monotoneCurves": [monotone_curve(case) for case in inputs["monotoneCurves"]],
        "rising": [rising(case) for case in inputs["rising"]],
        "quantiles": quantiles(inputs["quantiles"]),
        "noise": [noise(case) for case in inputs["noise"]],
        "markMeans": [mark_mean(case) for case in inputs["markMeans"]],
        "mixtures": [mixture(case) for case in inputs["mixtures"]],
        "curveMeans": [curve_mean(case) for case in inputs["curveMeans"]],
        "stopwatch": [stopwatch(case) for case in inputs["stopwatch"]],
    }
    (FOLDER / "results.json").write_text(json.dumps(plain(results), indent=1) + "\n")


if __name__ == "__main__":
    main()
