# Rscript dense.R FOLDER: fits that lme4 cannot do, by dense matrices: error variances known in every way a
# report states them, several systems with their own residual variance and divisor. One folder a case.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
out <- commandArgs(TRUE)[1]

# Yields of invented varieties that come and go, with every effect of the model and a different size of
# everything in each system. Rounded as reports are.
invented_network <- function(seed, systems, sites = 3, seasons = 4, varieties = 12, own_slope = 0.03) {
  set.seed(seed, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
  trials <- expand.grid(site = sprintf("S%02d", 1:sites), season = 2011:(2010 + seasons), system = systems,
                        stringsAsFactors = FALSE)
  trials <- trials[runif(nrow(trials)) < 0.85, ]
  trials$trial <- paste(trials$site, trials$season, trials$system, sep = "-")
  size <- setNames(c(2.5, 5, 8)[seq_along(systems)], systems)
  trials$water <- round(100 * size[trials$system] + rnorm(nrow(trials), 0, 70))
  v <- sprintf("V%02d", 1:varieties)
  draw <- function(sd, groups) setNames(rnorm(length(unique(groups)), 0, sd), unique(groups))
  main <- draw(0.10, v); slope <- 0.4 * main + draw(own_slope, v)
  first <- sample(2008:(2009 + seasons), varieties, TRUE); last <- first + sample(2:6, varieties, TRUE)
  rows <- merge(trials, data.frame(variety = v, first, last))
  rows <- rows[rows$season >= rows$first & rows$season <= rows$last, ]
  rows <- rows[order(rows$trial, rows$variety), ]
  effect <- function(sd, ...) { g <- paste(rows$variety, ...); draw(sd, g)[g] }
  w <- (rows$water - 100 * size[rows$system]) / 70
  share <- 1 + draw(0.2, rows$trial)[rows$trial] + main[rows$variety] + slope[rows$variety] * w +
    effect(0.06, rows$site) + effect(0.05, rows$season) + effect(0.05, rows$system) +
    rnorm(nrow(rows), 0, 0.06) + rnorm(nrow(rows), 0, 0.06)
  rows$yield <- round(share * size[rows$system], 3)
  kept <- trials[trials$trial %in% rows$trial, c("trial", "site", "season", "system", "water")]
  list(name = "invented", trials = kept, means = rows[c("trial", "variety", "yield")])
}

# Error variance of a mean as a trial states it: error mean square / plots, else (LSD/t)^2/2, else
# (cv mean/100)^2/plots; a trial that states none takes its system's mean square, pooled by degrees of freedom.
known_errors <- function(rows) {
  trial <- rows$trial
  entries <- ave(rep(1, nrow(rows)), trial, FUN = sum)
  mean_yield <- ave(rows$yield, trial)
  df <- (rows$reps - 1) * (entries - 1)
  plots <- if (is.null(rows$plots)) rows$reps else rows$plots
  known <- rows$error_ms / plots
  lsd <- (rows$lsd / suppressWarnings(qt(1 - rows$lsd_level / 2, df)))^2 / 2
  known <- ifelse(is.na(known), lsd, known)
  known <- ifelse(is.na(known), (rows$cv * mean_yield / 100)^2 / plots, known)
  for (s in unique(rows$system)) {
    here <- rows$system == s
    one <- here & !duplicated(trial) & !is.na(known)
    if (!any(one)) { known[here] <- 0; next }
    pooled <- sum((df * known * rows$reps)[one]) / sum(df[one])
    left <- here & is.na(known)
    known[left] <- pooled / rows$reps[left]
  }
  known
}

# `several`: also from starts that favour one variance each, the lowest criterion wins.
case <- function(name, network, terms, several = FALSE) {
  rows <- rows_of(network)
  known <- known_errors(rows)
  setup <- dense_setup(rows, terms, divisors_of(rows), known)
  fit <- dense_fit(setup)
  for (favoured in if (several) names(setup$v)) {
    other <- dense_fit(setup, favoured)
    if (other$criterion < fit$criterion - 1e-6) fit <- other
  }
  write_case(name, network, terms, fit$theta, fit$criterion, known = known)
}

# Known error variances, one system: stated as a mean square, an LSD, a CV, or not at all.
network <- invented_network(20, "all", sites = 4, seasons = 5)
trials <- nrow(network$trials)
network$trials$reps <- 3 + seq_len(trials) %% 2
kind <- seq_len(trials) %% 4
network$trials$error_ms <- ifelse(kind %in% c(0, 1), round(0.06 + 0.02 * sin(seq_len(trials)), 4), NA)
network$trials$lsd <- ifelse(kind == 2, 0.35, NA)
network$trials$lsd_level <- ifelse(kind == 2, 0.05, NA)
network$trials$cv <- ifelse(kind == 3 & seq_len(trials) %% 8 == 3, 9.5, NA)
case("known-errors", network, c("variety", "site", "season"))

# Several systems with every term; the error is known in the second alone. In three the slopes are tied to the
# main effects, in two they are not.
with_part_stated <- function(network) {
  stated <- network$trials$system == "part"
  network$trials$reps <- ifelse(stated, 4, NA)
  network$trials$error_ms <- ifelse(stated, 0.35, NA)
  network
}
every <- c("variety", "water", "site", "season", "system")
case("three-systems", with_part_stated(invented_network(21, c("dry", "part", "full"), own_slope = 0)), every)
case("two-systems", with_part_stated(invented_network(22, c("dry", "part"), own_slope = 0.08)), every)

# Real data with one system a rate of nitrogen.
case("oats-systems", oats_network(systems = TRUE), c("variety", "site", "system"))

# Real error mean squares of duplicate readings, stated in each of three ways, and by a different way in turn. The
# three say the same, so that the fits may differ in nothing: an LSD is that of the same mean square, and so is a CV.
in_terms_of <- function(network, way) {
  t <- network$trials
  error_ms <- t$error_ms
  way <- rep_len(way, nrow(t))
  means <- c(tapply(network$means$yield, network$means$trial, mean))[t$trial]
  entries <- c(table(network$means$trial))[t$trial]
  t$error_ms <- ifelse(way == "error_ms", error_ms, NA)
  t$lsd <- ifelse(way == "lsd", qt(0.95, (t$reps - 1) * (entries - 1)) * sqrt(2 * error_ms / t$reps), NA)
  t$lsd_level <- ifelse(way == "lsd", 0.10, NA)
  t$cv <- ifelse(way == "cv", 100 * sqrt(error_ms) / means, NA)
  network$trials <- t
  network
}
for (way in c("error_ms", "lsd", "cv"))
  case(paste0("specimens-", way), in_terms_of(specimens_network(), way), c("variety", "site", "season"))
case("specimens-in-turn", in_terms_of(specimens_network(), c("lsd", "cv", "error_ms")), c("variety", "site"))

# A mean square is divided by the plots of the mean where they are stated, otherwise by the replicates.
plots_of_their_own <- specimens_network()
plots_of_their_own$means$plots <- 1 + seq_len(nrow(plots_of_their_own$means)) %% 3
case("specimens-plots", plots_of_their_own, c("variety", "site"))

# Barley with stated errors and a slope, and with rows lost.
stated <- function(network) {
  network$trials$reps <- 3
  network$trials$error_ms <- 12 + 3 * seq_len(nrow(network$trials)) %% 5
  network
}
case("barley-stated", stated(barley_network()), c("variety", "site"))
case("barley-stated-slope", stated(barley_lost()), c("variety", "water", "site"))

# An error stated above what the means show: nothing is left for the residual.
too_much <- barley_network()
too_much$trials$reps <- 1
too_much$trials$error_ms <- 30
case("barley-no-residual", too_much, c("variety", "site"))

# Six invented trials whose criterion has two summits, 0.18 apart: what varieties do by season, or what is left over.
two_summits <- list(
  name = "two-summits",
  trials = data.frame(trial = c("A1", "B1", "A2", "B2", "A3", "B3"), site = c("A", "B"), season = rep(2001:2003, each = 2),
                      system = "all", reps = 3, error_ms = c(0.4015, 0.1079, 6.376, 7.701, 0.5202, 0.3102)),
  means = data.frame(
    trial = rep(c("A1", "B1", "A2", "B2", "A3", "B3"), c(4, 4, 4, 4, 3, 3)),
    variety = sprintf("V%02d", c(1, 2, 3, 4, 1, 3, 4, 5, 1, 3, 4, 5, 1, 2, 4, 5, 2, 3, 4, 3, 4, 5)),
    yield = c(20.003, 19.688, 19.606, 20.184, 19.561, 19.651, 19.659, 20.795, 15.960, 15.464, 15.476, 15.298, 21.816,
              21.635, 20.721, 21.341, 25.818, 25.170, 25.249, 22.188, 22.257, 22.544)))
case("two-summits", two_summits, c("variety", "site", "season"), several = TRUE)

write_json(as.list(list.files(out)), out, "cases.json")
