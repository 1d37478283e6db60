# Rscript nlme.R FOLDER: fits by nlme (Pinheiro & Bates 2000), which lets each system have a residual variance of its
# own: variety, or variety and variety:system nested in it, trials fixed, yields divided by their system's mean. The
# criterion is that of the yields themselves, REML(scaled) + 2 sum (n_s - J_s) log c_s.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
suppressPackageStartupMessages(library(nlme))
out <- commandArgs(TRUE)[1]

tight <- lmeControl(maxIter = 500, msMaxIter = 1000, msMaxEval = 5000, niterEM = 200, tolerance = 1e-12, msTol = 1e-14,
                    returnObject = FALSE, opt = "nlminb")

case <- function(name, network, terms) {
  rows <- rows_of(network)
  divisors <- divisors_of(rows)
  rows$share <- rows$yield / divisors[rows$system]
  rows$inverse <- 1 / rows$weight
  rows[c("variety", "trial", "site", "system")] <- lapply(rows[c("variety", "trial", "site", "system")], factor)
  nested <- intersect(c("site", "system"), terms)
  random <- if ("water" %in% terms) ~ 1 + w | variety else as.formula(paste(c("~ 1 | variety", nested), collapse = "/"))
  own <- if (nlevels(rows$system) > 1) varComb(varIdent(form = ~ 1 | system), varFixed(~ inverse)) else varFixed(~ inverse)
  model <- lme(share ~ 0 + trial, rows, random = random, weights = own, method = "REML", control = tight)
  covariance <- lapply(as.matrix(model$modelStruct$reStruct), function(m) m * model$sigma^2)
  main <- covariance$variety
  theta <- list(variety = main[1, 1])
  if (nrow(main) == 2) theta <- c(theta, slope = main[2, 2])
  for (term in nested) theta[[term]] <- covariance[[term]][1, 1]
  if (nrow(main) == 2) theta$covariance <- main[1, 2]
  relative <- setNames(rep(1, nlevels(rows$system)), levels(rows$system))
  if (length(relative) > 1) {
    estimated <- coef(model$modelStruct$varStruct$A, unconstrained = FALSE)
    relative[names(estimated)] <- estimated
  }
  for (s in names(relative)) theta[[paste0("residual.", s)]] <- unname((model$sigma * relative[s])^2)
  counted <- c(table(rows$system)) - tapply(rows$trial, rows$system, function(t) length(unique(t)))
  criterion <- -2 * as.numeric(logLik(model)) + 2 * sum(counted * log(divisors[names(counted)]))
  blups <- as.matrix(if (length(nested)) ranef(model)$variety else ranef(model))
  write_case(name, network, terms, theta, criterion, blups)
}

case("arabidopsis", arabidopsis_network(), "variety")
case("arabidopsis-systems", arabidopsis_network(), c("variety", "system"))
case("machine-systems", machine_systems_network(), c("variety", "system"))
case("barley", barley_network(), c("variety", "site"))
case("lost", barley_lost(weighted = TRUE), c("variety", "site"))
case("reactions", reactions_network(), c("variety", "water"))
write_json(as.list(list.files(out)), out, "cases.json")
