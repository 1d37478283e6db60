# Rscript distributions.R FOLDER: quantiles and probabilities of R, and scores from their definition, as
# expected.json.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
out <- commandArgs(TRUE)[1]

count <- 2048
points <- qnorm((seq_len(count) - 0.5) / count)
grid <- expand.grid(level = c(0.001, 0.01, 0.05, 0.1, 0.2, 0.5), df = c(1, 2, 3, 5, 8, 17.5, 60, 400))
z <- c(-8, -4, -2.5, -1.96, -1, -0.1, 0, 0.3, 1.2815515655446, 2, 3.5, 6)
t_grid <- expand.grid(share = c(0.01, 0.05, 0.1, 0.25, 0.4, 0.75, 0.9, 0.95, 0.99), df = c(5, 8, 12, 30))

# The integral of (F(x) - 1[x >= value])^2 for a mixture of normals.
mixture_crps <- function(x) {
  f <- function(at) vapply(at, function(a) sum(x$w * pnorm(a, x$m, x$s)), 0)
  over <- function(g, from, to) integrate(g, from, to, rel.tol = 1e-11, subdivisions = 2000)$value
  over(function(a) f(a)^2, x$value - 60, x$value) + over(function(a) (1 - f(a))^2, x$value, x$value + 60)
}
mixtures <- list(list(w = 1, m = 1.5, s = 2, value = 0.2),
                 list(w = c(0.3, 0.7), m = c(-1, 2), s = c(0.5, 1.5), value = 1.1),
                 list(w = c(0.2, 0.5, 0.3), m = c(0, 4, 9), s = c(1, 1, 3), value = 12))
write_json(list(
  normal_points = points / sqrt(mean(points^2)),
  normal_90 = qnorm(0.9),
  t_two_sided = unname(Map(function(l, d) list(level = l, df = d, t = qt(1 - l / 2, d)), grid$level, grid$df)),
  phi = lapply(z, function(z) list(z = z, p = pnorm(z))),
  student = unname(Map(function(p, d) list(share = p, df = d, t = qt(p, d)), t_grid$share, t_grid$df)),
  crps = lapply(mixtures, function(x) list(parts = unname(Map(function(w, m, s) c(w, m, s), x$w, x$m, x$s)),
                                           value = x$value, crps = mixture_crps(x)))), out)
