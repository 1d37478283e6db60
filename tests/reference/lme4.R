# Rscript lme4.R FOLDER: fits by lme4 (Bates et al. 2015, J. Stat. Soft. 67:1-48), one folder a case with the network
# and expected.json beside it. Variances, criterion and BLUPs are lme4's; errors of prediction, which lme4 gives
# only with the fixed effects taken as known, come from dense matrices at lme4's variances.

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
  parsed <- lFormula(formula, rows, REML = TRUE, weights = weight)
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
  model <- lme4_fit(rows_of(network), terms)
  blups <- as.matrix(ranef(model)$variety)
  write_case(name, network, terms, theta_of(model, "all"), REMLcrit(model), blups)
}

# Term by term on the data of record: all rows, a weight for each, three rows in ten lost, both.
term_by_term <- list("variety", c("variety", "site"), c("variety", "season"), c("variety", "site", "season"),
                     c("variety", "water"), c("variety", "water", "site"), c("variety", "water", "site", "season"))
for (terms in term_by_term) {
  name <- paste(terms, collapse = "-")
  case(paste0("barley_", name), barley_network(), terms)
  case(paste0("weighted_", name), barley_network(weighted = TRUE), terms)
  case(paste0("lost_", name), barley_lost(), terms)
}
case("lost-weighted", barley_lost(weighted = TRUE), c("variety", "water", "site", "season"))

# Other shapes of data.
crossed_terms <- c("variety", "site", "season")
case("cakes", cakes_network(), crossed_terms)
case("machines", machines_network(), crossed_terms)
case("assay", assay_network(), crossed_terms)
case("soybean", soybean_network(), crossed_terms)   # two varieties, unequal plots
case("lectures", lectures_network(), crossed_terms) # unbalanced, plots from 1 to hundreds
case("penicillin", penicillin_network(), "variety")
case("peas", peas_network(), "variety")             # incomplete blocks
case("litters", litters_network(), "variety")       # unequal plots
case("reactions", reactions_network(), c("variety", "water"))
case("chicks", chicks_network(), c("variety", "water"))

# On a bound, or next to one.
case("immer", immer_network(), crossed_terms)                               # no variance of seasons
case("oats", oats_network(systems = FALSE), c("variety", "water", "site"))  # a correlation of -1
case("pines", pines_network(), c("variety", "water"))
case("alfalfa", alfalfa_network(), c("variety", "site"))                    # no variance of varieties
case("wheat", wheat_network(), "variety")                                   # nor here, with 56 of them
write_json(as.list(list.files(out)), out, "cases.json")
