"""Reference values of the central distributions at 50 digits (mpmath 1.4.1): writes central-distributions.json.

Tails are regularized incomplete beta and gamma functions; quantiles solve the same functions by bisection.
Run: python3 central_distributions.py
"""
import json

import mpmath as mp

mp.mp.dps = 50


def beta_tails(a, b, x):
    lower = mp.betainc(a, b, 0, x, regularized=True)
    upper = mp.betainc(a, b, x, 1, regularized=True)
    return lower, upper


def t_sf(df, t):
    df, t = mp.mpf(df), mp.mpf(t)
    upper = beta_tails(df / 2, mp.mpf(1) / 2, df / (df + t * t))[0] / 2
    return upper if t >= 0 else 1 - upper


def f_tails(d1, d2, x):
    d1, d2, x = mp.mpf(d1), mp.mpf(d2), mp.mpf(x)
    upper = beta_tails(d2 / 2, d1 / 2, d2 / (d2 + d1 * x))[0]
    lower = beta_tails(d1 / 2, d2 / 2, d1 * x / (d2 + d1 * x))[0]
    return lower, upper


def chi2_tails(df, x):
    a = mp.mpf(df) / 2
    return mp.gammainc(a, 0, mp.mpf(x) / 2, regularized=True), mp.gammainc(a, mp.mpf(x) / 2, mp.inf, regularized=True)


def solve(function, low, high):
    """Root of an increasing function, by bisection on a logarithmic scale."""
    low, high = mp.log(low), mp.log(high)
    for _ in range(170):
        middle = (low + high) / 2
        if function(mp.exp(middle)) < 0:
            low = middle
        else:
            high = middle
    return mp.exp((low + high) / 2)


def number(x):
    return float(mp.nstr(x, 20))


data = {
    "id": "central-distributions",
    "title": "Tails and quantiles of normal, t, F, chi-square and beta",
    "source": "definitions: Abramowitz and Stegun (1964), chapter 26",
    "obtained": "central_distributions.py, mpmath 1.4.1, 50 digits",
    "t_columns": ["df", "t", "sf"],
    "t_rows": [[df, t, number(t_sf(df, t))] for df in (1, 2, 2.5, 3, 5, 10, 30, 100, 1000, 100000)
               for t in (-3, -0.5, 1e-6, 0.7, 2.2, 9, 40)],
    "f_columns": ["df1", "df2", "f", "cdf", "sf"],
    "f_rows": [[d1, d2, x, *map(number, f_tails(d1, d2, x))] for d1, d2 in
               ((1, 1), (1, 8), (2, 5), (3, 3.5), (5, 1), (6, 200), (8, 18000), (40, 12), (300, 300), (1, 50000))
               for x in (1e-4, 0.3, 1, 2.5, 5, 20)],
    "chi2_columns": ["df", "x", "cdf", "sf"],
    "chi2_rows": [[df, x, *map(number, chi2_tails(df, x))] for df, x in
                  ((1, 0.001), (1, 3.84), (1, 60), (2, 5.99), (3.5, 0.2), (7, 2), (7, 14), (7, 200), (30, 20), (30, 45),
                   (100, 60), (100, 150), (5000, 4800), (5000, 5300), (0.5, 0.1))],
    "beta_columns": ["a", "b", "x", "cdf", "sf"],
    "beta_rows": [[a, b, x, *map(number, beta_tails(mp.mpf(a), mp.mpf(b), mp.mpf(x)))] for a, b in
                  ((0.5, 0.5), (2, 3), (0.3, 20), (50, 60), (1, 7)) for x in (0.015625, 0.25, 0.5, 0.8125)],
    "normal_columns": ["z", "sf"],
    "normal_rows": [[z, number(mp.erfc(mp.mpf(z) / mp.sqrt(2)) / 2)] for z in (-2, -0.3, 0, 0.5, 1, 1.96, 3, 6, 12, 30)],
    "t_quantile_columns": ["df", "two_sided_probability", "t"],
    "t_quantile_rows": [[df, q, number(solve(lambda t: mp.mpf(q) / 2 - t_sf(df, t), mp.mpf("1e-12"), mp.mpf("1e18")))]
                        for df in (1, 2, 3, 4.3, 7, 12, 34, 180, 2500) for q in (1e-12, 0.001, 0.01, 0.05, 0.5, 0.999)],
    "f_quantile_columns": ["df1", "df2", "upper_probability", "f"],
    "f_quantile_rows": [[d1, d2, q, number(solve(lambda x: mp.mpf(q) - f_tails(d1, d2, x)[1], mp.mpf("1e-30"), mp.mpf("1e30")))]
                        for d1, d2 in ((1, 5), (3, 12), (6, 7), (8, 18000), (25, 2)) for q in (1e-9, 0.01, 0.05, 0.5, 0.99)],
    "chi2_quantile_columns": ["df", "probability", "x"],
    "chi2_quantile_rows": [[df, p, number(solve(lambda x: chi2_tails(df, x)[0] - mp.mpf(p), mp.mpf("1e-40"), mp.mpf("1e9")))]
                           for df in (1, 2, 9, 42, 500) for p in (1e-6, 0.01, 0.05, 0.5, 0.95, 0.999)],
}

with open("central-distributions.json", "w", encoding="utf-8") as file:
    json.dump(data, file, indent=1)
    file.write("\n")
