"""distributions.py FOLDER: probabilities, quantiles and scores of scipy, as expected.json.

Nothing here is written from the code it checks: scores are integrals or double sums of their definitions, the
chance of no harvest is a posterior mode found by scipy's own optimiser.
"""

import json
import sys
from pathlib import Path

import numpy as np
from scipy import integrate, optimize, special, stats

MIXTURES = [
    ([(1.0, 1.5, 2.0)], 0.2),
    ([(0.3, -1.0, 0.5), (0.7, 2.0, 1.5)], 1.1),
    ([(0.2, 0.0, 1.0), (0.5, 4.0, 1.0), (0.3, 9.0, 3.0)], 12.0),
    ([(0.25, 30.0, 6.0), (0.25, 31.0, 4.0), (0.5, 18.0, 9.0)], 5.0),
]
SAMPLE = [0.3, 0.9, 1.4, 1.4, 2.8, 3.1, 5.5]
CLUSTERS = [(2011, 0.4), (2011, 0.9), (2012, -0.3), (2013, 1.1), (2013, 1.0), (2013, 0.2), (2014, -0.8)]
# System, water in mm, lost to drought.
OUTCOMES = [(0, 205, True), (0, 240, True), (0, 255, False), (0, 290, False), (0, 320, False), (0, 365, False),
            (0, 395, False), (1, 330, True), (1, 410, False), (1, 440, False), (1, 505, False)]
# Mean and standard deviation of each system's water, over all its crops.
SCALES = [(np.mean(w), np.std(w, ddof=1)) for w in ([w for s, w, _ in OUTCOMES if s == system] for system in (0, 1))]


def mixture_cdf(parts, at):
    return sum(w * stats.norm.cdf(at, m, s) for w, m, s in parts)


def crps(parts, value):
    """The integral of (F(x) - 1[x >= value])^2."""
    whole = lambda f, a, b: integrate.quad(f, a, b, epsabs=1e-13, epsrel=1e-12, limit=500)[0]
    low = min(m - 12 * s for _, m, s in parts)
    high = max(m + 12 * s for _, m, s in parts)
    cuts = sorted({low, min(low, value), value, max(high, value), high, *(m for _, m, _ in parts)})
    return sum(whole(lambda x: (mixture_cdf(parts, x) - (x >= value)) ** 2, a, b) for a, b in zip(cuts, cuts[1:]))


def sample_crps(sample, value):
    x = np.array(sample)
    return np.abs(x - value).mean() - np.abs(x[:, None] - x[None, :]).mean() / 2


def clustered(values):
    """Mean and its standard error, each cluster's residuals summed before they are squared."""
    cluster, x = np.array([c for c, _ in values]), np.array([v for _, v in values])
    sums = np.array([(x - x.mean())[cluster == c].sum() for c in np.unique(cluster)])
    groups = len(sums)
    return {"mean": x.mean(), "error": np.sqrt(groups / (groups - 1) * (sums**2).sum()) / len(x)}


def minus_log_posterior(p):
    """a_s by a Beta(1/2, 19/2) chance on the logit scale, b by N(-1, 1)."""
    *a, b = p
    chance = lambda s, w: 1 / (1 + np.exp(-(a[s] + b * w)))
    prior = sum(0.5 * np.log(chance(s, 0.0)) + 9.5 * np.log(1 - chance(s, 0.0)) for s in (0, 1))
    standardised = [(s, (w - SCALES[s][0]) / SCALES[s][1], lost) for s, w, lost in OUTCOMES]
    data = sum(np.log(chance(s, w) if lost else 1 - chance(s, w)) for s, w, lost in standardised)
    return -(prior + data - 0.5 * (b + 1.0) ** 2)


def hessian(f, at, step=1e-4):
    """By central differences."""
    e = np.eye(len(at)) * step
    return np.array([[(f(at + i + j) - f(at + i - j) - f(at - i + j) + f(at - i - j)) / (4 * step**2) for j in e] for i in e])


def no_harvest():
    """The mode; in dry seasons the mean over the variance that the season's water adds to that of the logit at 0."""
    p = np.array([-2.0, -2.0, -1.0])
    for _ in range(3):
        p = optimize.minimize(minus_log_posterior, p, method="Nelder-Mead",
                              options={"xatol": 1e-11, "fatol": 1e-15, "maxiter": 20000, "maxfev": 20000}).x
    assert p[2] < 0
    covariance = np.linalg.inv(hessian(minus_log_posterior, p))

    def chance(s, w):
        logit, added = p[s] + p[2] * w, 2 * w * covariance[s, 2] + w**2 * covariance[2, 2]
        if w >= 0 or added <= 0:
            return 1 / (1 + np.exp(-logit))
        sd = np.sqrt(added)
        return integrate.quad(lambda x: stats.norm.pdf(x, logit, sd) / (1 + np.exp(-x)), logit - 10 * sd, logit + 10 * sd)[0]

    return {name: [{"system": s, "water": SCALES[s][0] + w * SCALES[s][1], "chance": chance(s, w)}
                   for s in (0, 1) for w in water]
            for name, water in (("wet", (0.0, 0.7, 1.5)), ("dry", (-0.5, -1.2, -2.0, -3.0)))}


def normal_points(count):
    """Evenly spaced normal scores brought to variance 1: every 64th of them, the others lie between."""
    scores = stats.norm.ppf((np.arange(count) + 0.5) / count)
    scores /= np.sqrt((scores**2).mean())
    return {"place": list(range(0, count, 64)), "score": scores[::64].tolist()}


probabilities = [1e-9, 1e-4, 0.01, 0.1, 0.25, 0.333, 0.5, 0.7, 0.75, 0.8, 0.9, 0.95, 0.999, 1 - 1e-7]
answer = {
    "phi": [{"z": z, "p": stats.norm.cdf(z)} for z in np.arange(-8, 8.01, 0.37).tolist()],
    "normal_quantile": [{"p": p, "z": stats.norm.ppf(p)} for p in probabilities],
    "normal_points": normal_points(2048),
    "trigamma": [{"x": x, "value": special.polygamma(1, x).item()} for x in (0.05, 0.5, 1.0, 2.3, 6.0, 7.99, 8.01, 40.0, 3e3)],
    "t_two_sided": [{"level": level, "df": df, "t": stats.t.ppf(1 - level / 2, df)}
                    for level in (0.001, 0.01, 0.05, 0.1, 0.2, 0.5)
                    for df in (1.0, 1.5, 2.7, 3.0, 4.2, 7.0, 13.3, 41.0, 99.9, 150.5, 700.0, 999.0, 1000.0, 2000.0, 1e4, 1e7)],
    "f_upper_tail": [{"f": f, "varieties_df": a, "error_df": b, "p": stats.f.sf(f, a, b)}
                     for f in (0.2, 1.0, 3.3, 12.0) for a in (1, 3, 10, 49) for b in (3, 12, 147)],
    "mixtures": [{"parts": parts, "value": value, "cdf": mixture_cdf(parts, value), "crps": crps(parts, value)}
                 for parts, value in MIXTURES],
    "samples": [{"sample": SAMPLE, "value": v, "crps": sample_crps(SAMPLE, v)} for v in (-1.0, 1.4, 2.0, 9.0)],
    "clustered": {"values": CLUSTERS, **clustered(CLUSTERS)},
    "no_harvest": {"outcomes": OUTCOMES, **no_harvest()},
}
Path(sys.argv[1], "expected.json").write_text(json.dumps(answer))
