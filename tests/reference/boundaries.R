# Rscript boundaries.R FOLDER: fits by lme4 that end on a bound or near one, one folder a case with the network
# and expected.json beside it. Variances, criterion and BLUPs are lme4's; errors of prediction, which lme4
# gives only with the fixed effects taken as known, come from dense matrices at lme4's variances.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
suppressPackageStartupMessages(library(lme4))
out <- commandArgs(TRUE)[1]

# A default call stops at about 1e-4 of a variance; a second optimiser goes on from there until it stays.
lme4_fit <- function(rows, terms) {
  random <- c(if ("water" %in% terms) "(1 + w | variety)" else "(1 | variety)",
              sprintf("(1 | variety:%s)", intersect(c("site", "season"), terms)))
  formula <- as.formula(paste("yield ~ 0 + trial +", paste(random, collapse = " + ")))
  rows[c("trial", "variety", "site", "season")] <- lapply(rows[c("trial", "variety", "site", "season")], factor)
  parsed <- lFormula(formula, rows, REML = TRUE)
  deviance <- do.call(mkLmerDevfun, parsed)
  end <- optimizeLmer(deviance, optimizer = "bobyqa", control = list(rhoend = 1e-10, maxfun = 50000))
  for (round in 1:5) {
    polished <- nlminb(end$par, deviance, lower = parsed$reTrms$lower,
                       control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 1000, eval.max = 2000))
    if (polished$objective <= end$fval) end[c("par", "fval")] <- polished[c("par", "objective")]
  }
  deviance(end$par)
  mkMerMod(environment(deviance), end, parsed$reTrms, parsed$fr)
}

theta_of <- function(model, systems) {
  covariance <- VarCorr(model)
  main <- covariance[["variety"]]
  theta <- list(variety = main[1, 1])
  if (nrow(main) == 2) theta <- c(theta, slope = main[2, 2])
  for (term in c("site", "season")) {
    name <- paste0("variety:", term)
    if (name %in% names(covariance)) theta[[term]] <- covariance[[name]][1, 1]
  }
  if (nrow(main) == 2) theta$covariance <- main[1, 2]
  theta[[paste0("residual.", systems)]] <- sigma(model)^2
  theta
}

case <- function(name, network, terms) {
  folder <- file.path(out, name)
  write_network(folder, network)
  rows <- rows_of(network)
  model <- lme4_fit(rows, terms)
  setup <- dense_setup(rows, terms)
  theta <- theta_of(model, setup$systems)
  effects <- dense_effects(setup, theta)
  henderson_agrees(setup, theta, effects)
  blups <- ranef(model)$variety
  effects$effect <- blups[effects$varieties, 1]
  if ("water" %in% terms) effects$slope <- blups[effects$varieties, 2]
  # The two ways to the criterion must agree, all constants in.
  stopifnot(abs(dense_solve(setup, theta)$criterion - REMLcrit(model)) < 1e-8 * abs(REMLcrit(model)))
  write_json(expectation(terms, REMLcrit(model), theta, setup$systems, effects, c(all = 1), water_scales(network)), folder)
}

case("barley", barley_network(), c("variety", "water", "site", "season"))
case("oats", oats_network(systems = FALSE), c("variety", "water", "site"))  # a correlation of -1
case("alfalfa", alfalfa_network(), c("variety", "site"))                    # no variance of varieties
case("wheat", wheat_network(), "variety")                                   # nor here, with 56 of them
