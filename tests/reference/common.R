# Shared by the reference scripts below it: writing a network folder, writing JSON, and the mixed model by
# dense matrices. It knows nothing of the code it checks: everything here is written from the formulas.
#
# A network here is list(name, trials, means): `trials` has trial, site, season, system and what else its
# columns say; `means` has trial, variety, yield and, in some, the plots behind a mean.

options(digits = 17, stringsAsFactors = FALSE, warn = 1)

# ---- files ----

write_network <- function(folder, network, unit = "t/ha") {
  dir.create(folder, recursive = TRUE, showWarnings = FALSE)
  full <- function(x) if (is.numeric(x)) ifelse(is.na(x), "", sprintf("%.17g", x)) else x
  put <- function(table, file)
    write.table(as.data.frame(lapply(table, full)), file.path(folder, file), sep = ",", na = "",
                row.names = FALSE, quote = FALSE, fileEncoding = "UTF-8")
  put(network$trials, "trials.csv")
  put(network$means, "means.csv")
  writeLines(sprintf('{"name": "%s", "yield_unit": "%s", "water_unit": "mm"}', network$name, unit),
             file.path(folder, "network.json"))
}

# Named lists and vectors become objects, other vectors arrays; a single number is a number.
json <- function(x) {
  if (is.null(x)) return("null")
  if (!is.null(names(x)))
    return(sprintf("{%s}", paste(sprintf('"%s": %s', names(x), vapply(x, json, "")), collapse = ", ")))
  if (is.list(x) || length(x) > 1) return(sprintf("[%s]", paste(vapply(x, json, ""), collapse = ", ")))
  if (is.character(x)) return(sprintf('"%s"', x))
  if (is.logical(x)) return(if (x) "true" else "false")
  if (is.finite(x)) sprintf("%.17g", x) else "null"
}

write_json <- function(x, folder, file = "expected.json") writeLines(json(x), file.path(folder, file))

# ---- rows of a fit ----

# One row a mean: its trial's columns, and water standardised within the system over the trials (sd with n - 1).
# Where every mean states its plots and no trial an error, a residual is that of a mean of the fewest plots.
rows_of <- function(network) {
  t <- network$trials
  for (column in c("water", "reps", "error_ms", "lsd", "lsd_level", "cv")) if (is.null(t[[column]])) t[[column]] <- NA
  t$w <- 0
  for (s in unique(t$system)) {
    here <- t$system == s & !is.na(t$water)
    if (sum(here) >= 5 && sd(t$water[here]) >= 0.1 * mean(t$water[here]))
      t$w[here] <- (t$water[here] - mean(t$water[here])) / sd(t$water[here])
  }
  rows <- cbind(network$means, t[match(network$means$trial, t$trial), setdiff(names(t), "trial")])
  rows$weight <- 1
  stated <- with(rows, any(!is.na(error_ms) | !is.na(lsd) | !is.na(cv)))
  if (!is.null(rows$plots) && !stated) rows$weight <- rows$plots / ave(rows$plots, rows$system, FUN = min)
  rows
}

water_scales <- function(network) {
  t <- network$trials
  scales <- setNames(list(), character(0))
  for (s in unique(t$system)) {
    w <- t$water[t$system == s]
    w <- w[!is.na(w)]
    if (length(w) >= 5 && sd(w) >= 0.1 * mean(w)) scales[[s]] <- list(center = mean(w), scale = sd(w))
  }
  scales
}

indicator <- function(x) {
  x <- factor(x)
  z <- matrix(0, length(x), nlevels(x), dimnames = list(NULL, levels(x)))
  z[cbind(seq_along(x), as.integer(x))] <- 1
  z
}

# ---- the mixed model by dense matrices ----

# y = X tau + Z u + e, trials fixed. Effects of a variety are multiplied by its system's divisor c, which
# is how "yields divided by c" reads on the yields themselves; the criterion then needs no correction.
# `known` is the known error variance of each row, yield unit squared.
dense_setup <- function(rows, terms, divisors = NULL, known = 0) {
  n <- nrow(rows)
  divide <- if (is.null(divisors)) rep(1, n) else unname(divisors[rows$system])
  z <- list(variety = indicator(rows$variety) * divide)
  if ("water" %in% terms) z$slope <- indicator(rows$variety) * rows$w * divide
  for (term in intersect(c("site", "season", "system"), terms))
    z[[term]] <- indicator(paste(rows$variety, rows[[term]], sep = " : ")) * divide
  v <- lapply(z, tcrossprod)
  if ("water" %in% terms) {
    cross <- tcrossprod(z$variety, z$slope)
    v$covariance <- cross + t(cross)
  }
  systems <- unique(rows$system)
  for (s in systems) v[[paste0("residual.", s)]] <- diag(ifelse(rows$system == s, divide^2 / rows$weight, 0), n)
  list(y = rows$yield, x = indicator(rows$trial), z = z, v = v, known = rep_len(known, n), systems = systems)
}

# Everything at given variances (a named list with the names of setup$v).
dense_solve <- function(setup, theta) {
  v <- diag(setup$known, length(setup$y))
  for (k in names(setup$v)) v <- v + theta[[k]] * setup$v[[k]]
  root <- chol(v)
  inverse <- chol2inv(root)
  s_root <- chol(crossprod(setup$x, inverse %*% setup$x))
  p <- inverse - inverse %*% setup$x %*% chol2inv(s_root) %*% crossprod(setup$x, inverse)
  py <- drop(p %*% setup$y)
  n <- length(setup$y)
  list(p = p, py = py,
       criterion = (n - ncol(setup$x)) * log(2 * pi) + 2 * sum(log(diag(root))) +
         2 * sum(log(diag(s_root))) + sum(setup$y * py))
}

# d criterion / d theta: tr(P V_k) - y'P V_k P y.
dense_gradient <- function(setup, solved)
  vapply(setup$v, function(vk) sum(solved$p * vk) - drop(crossprod(solved$py, vk %*% solved$py)), 0)

# Covariance matrix of main effect and slope of all varieties, or of the main effects alone.
main_covariance <- function(setup, theta) {
  m <- ncol(setup$z$variety)
  if (is.null(setup$z$slope)) return(diag(theta[["variety"]], m))
  kronecker(matrix(c(theta[["variety"]], theta[["covariance"]], theta[["covariance"]], theta[["slope"]]), 2), diag(m))
}

# Predictions and their error covariance with the fixed effects estimated:
# u = G Z'P y, Var(u^ - u) = G - G Z'P Z G (Henderson 1975, Biometrics 31:423-447).
dense_effects <- function(setup, theta) {
  solved <- dense_solve(setup, theta)
  z <- cbind(setup$z$variety, setup$z$slope)
  g <- main_covariance(setup, theta)
  gz <- g %*% t(z)
  error <- g - gz %*% solved$p %*% t(gz)
  m <- ncol(setup$z$variety)
  varieties <- colnames(setup$z$variety)
  value <- drop(gz %*% solved$py)
  se <- sqrt(pmax(diag(error), 0))
  list(varieties = varieties, effect = value[1:m], se = se[1:m],
       slope = if (!is.null(setup$z$slope)) value[m + 1:m],
       slope_se = if (!is.null(setup$z$slope)) se[m + 1:m],
       error = error[1:m, 1:m])
}

# Differences of the first variety and the second, the first and the last, and one in the middle and the last.
differences <- function(effects) {
  m <- length(effects$varieties)
  pairs <- unique(list(c(1, 2), c(1, m), c(ceiling(m / 2), m)))
  pairs <- pairs[vapply(pairs, function(p) p[1] != p[2], TRUE)]
  names(pairs) <- vapply(pairs, function(p) paste(effects$varieties[p], collapse = ","), "")
  lapply(pairs, function(p) list(
    value = effects$effect[p[1]] - effects$effect[p[2]],
    se = sqrt(max(0, effects$error[p[1], p[1]] + effects$error[p[2], p[2]] - 2 * effects$error[p[1], p[2]]))))
}

# The same error covariance from Henderson's equations, where every variance is above its bound: the inverse of
# [X'R^-1X, X'R^-1Z; Z'R^-1X, Z'R^-1Z + G^-1]. Stops the script if the two ways differ.
henderson_agrees <- function(setup, theta, effects) {
  z <- do.call(cbind, setup$z)
  r <- setup$known
  for (s in setup$systems) r <- r + theta[[paste0("residual.", s)]] * diag(setup$v[[paste0("residual.", s)]])
  main <- main_covariance(setup, theta)
  above <- setdiff(names(theta), "covariance")
  if (any(unlist(theta[above]) < 1e-8) || rcond(main) < 1e-8) return(invisible())
  g_inverse <- matrix(0, ncol(z), ncol(z))
  first <- seq_len(ncol(main))
  g_inverse[first, first] <- solve(main)
  at <- ncol(main)
  for (term in setdiff(names(setup$z), c("variety", "slope"))) {
    here <- at + seq_len(ncol(setup$z[[term]]))
    g_inverse[cbind(here, here)] <- 1 / theta[[term]]
    at <- max(here)
  }
  both <- cbind(setup$x, z)
  left <- crossprod(both, both / r)
  random <- ncol(setup$x) + seq_len(ncol(z))
  left[random, random] <- left[random, random] + g_inverse
  inverse <- solve(left)
  own <- ncol(setup$x) + seq_along(effects$varieties)
  u <- drop(inverse %*% crossprod(both, setup$y / r))[own]
  stopifnot(max(abs(u - effects$effect)) < 1e-7 * sd(setup$y),
            max(abs(sqrt(diag(inverse)[own]) / effects$se - 1)) < 1e-7)
}

# The minimum of the criterion by `nlminb` with the analytic gradient, over variances bounded by 0 and, with
# a slope, the factor (a, 0; b, c) of its 2 x 2 covariance. Started again from its own end until it stays.
dense_fit <- function(setup, favoured = NULL) {
  names_v <- names(setup$v)
  sloped <- "slope" %in% names_v
  unpack <- function(free) {
    theta <- as.list(setNames(free, names_v))
    if (sloped) {
      a <- theta$variety; b <- theta$covariance; c <- theta$slope
      theta$variety <- a^2; theta$covariance <- a * b; theta$slope <- b^2 + c^2
    }
    theta
  }
  last <- list()
  solved_at <- function(free) {
    if (!identical(last$free, free)) last <<- list(free = free, solved = dense_solve(setup, unpack(free)))
    last$solved
  }
  value <- function(free) tryCatch(solved_at(free)$criterion, error = function(e) Inf)
  gradient <- function(free) {
    g <- dense_gradient(setup, solved_at(free))
    if (sloped) {
      i <- match(c("variety", "covariance", "slope"), names_v)
      a <- free[i[1]]; b <- free[i[2]]; c <- free[i[3]]
      g[i] <- c(2 * a * g[i[1]] + b * g[i[2]], a * g[i[2]] + 2 * b * g[i[3]], 2 * c * g[i[3]])
    }
    g
  }
  # The spread within trials, on the scale of the effects.
  spread <- var(lm.fit(setup$x, setup$y)$residuals / sqrt(rowSums(setup$z$variety^2)))
  # A residual without a known part stays above 0, or V would be singular.
  alone <- vapply(setup$v, function(vk) all(setup$known[diag(vk) > 0] == 0), TRUE) & grepl("^residual", names_v)
  least <- ifelse(alone, 1e-6 * spread, 0)
  if (sloped) least[match("covariance", names_v)] <- -Inf
  free <- setNames(rep(0.2 * spread, length(names_v)), names_v)
  free[grepl("^residual", names_v)] <- 0.4 * spread
  if (!is.null(favoured)) free[] <- ifelse(names_v == favoured, 0.8, 0.05) * spread
  # An eigenvalue of exactly 0 is stationary for its factor, so the search starts well inside.
  if (sloped) free[c("variety", "slope", "covariance")] <- sqrt(spread) * c(0.4, 0.3, 0.1)
  for (round in 1:6) {
    end <- nlminb(free, value, gradient, lower = least,
                  control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 500, eval.max = 800))
    moved <- max(abs(end$par - free))
    free <- end$par
    if (moved < 1e-8 * max(abs(free))) break
  }
  list(theta = unpack(free), criterion = end$objective)
}

# ---- what the check compares ----

# Variances as `leanyear fit --json` names them.
named_variances <- function(theta, systems) {
  out <- list()
  if (is.null(theta$slope)) out$variety <- theta$variety
  else out[["variety*water"]] <- list(intercept = theta$variety, slope = theta$slope, covariance = theta$covariance)
  for (term in c("site", "season", "system")) if (!is.null(theta[[term]])) out[[paste0("variety:", term)]] <- theta[[term]]
  out$residual <- setNames(lapply(systems, function(s) theta[[paste0("residual.", s)]]), systems)
  out
}

expectation <- function(terms, criterion, theta, systems, effects, scale, water) {
  words <- c(if ("water" %in% terms) "variety*water" else "variety",
             sprintf("variety:%s", intersect(c("site", "season", "system"), terms)))
  per <- function(values) as.list(setNames(values, effects$varieties))
  expected <- list(terms = paste(words, collapse = " + "), reml = criterion,
                   variance = named_variances(theta, systems), scale = as.list(scale),
                   effects = per(effects$effect), errors = per(effects$se), differences = differences(effects))
  if ("water" %in% terms)
    expected <- c(expected, list(water = water, slopes = per(effects$slope), slope_errors = per(effects$slope_se)))
  expected
}

# What yields are divided by, by system: nothing where there is one.
divisors_of <- function(rows) {
  systems <- unique(rows$system)
  if (length(systems) == 1) setNames(1, systems) else c(tapply(rows$yield, rows$system, mean))[systems]
}

# Writes one case: the network as a folder, and beside it what a fit must say. `theta` and `criterion` are another
# program's; `blups`, where it gives them, a matrix with the varieties' names as rows and a column for a slope.
# Errors of prediction with the fixed effects estimated come from dense matrices at theta.
write_case <- function(name, network, terms, theta, criterion, blups = NULL, known = 0) {
  folder <- file.path(out, name)
  write_network(folder, network)
  rows <- rows_of(network)
  divisors <- divisors_of(rows)
  setup <- dense_setup(rows, terms, divisors, known)
  # The two ways to the criterion must agree, all constants in.
  stopifnot(abs(dense_solve(setup, theta)$criterion - criterion) < 1e-8 * max(1, abs(criterion)))
  effects <- dense_effects(setup, theta)
  henderson_agrees(setup, theta, effects)
  if (!is.null(blups)) {
    stopifnot(max(abs(blups[effects$varieties, 1] - effects$effect)) < 1e-6 * sd(rows$yield))
    effects$effect <- unname(blups[effects$varieties, 1])
    if ("water" %in% terms) effects$slope <- unname(blups[effects$varieties, 2])
  }
  write_json(expectation(terms, criterion, theta, setup$systems, effects, divisors, water_scales(network)), folder)
}
