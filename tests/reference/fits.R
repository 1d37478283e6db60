# Writes network folders from open data sets and what R makes of them, for the tests to compare.
# usage: Rscript fits.R FOLDER
# Sources: lattice::barley (Immer, Hayes & Powers 1934, after Cleveland 1993), MASS::immer (Venables & Ripley
# 2002), fits by lme4 (Bates et al. 2015, J. Stat. Soft. 67:1-48); standard errors and fixed-variance criteria
# from dense matrices with base R alone (Henderson 1975, Biometrics 31:423-447).
suppressMessages({ library(lattice); library(MASS); library(lme4) })
out <- commandArgs(TRUE)[1]
number <- function(x) format(x, digits = 17, scientific = TRUE, trim = TRUE)

network <- function(name, d, trials, weights = NULL) {
  folder <- file.path(out, name)
  dir.create(folder, recursive = TRUE, showWarnings = FALSE)
  writeLines(sprintf('{"name": "%s", "crop": "barley", "yield_unit": "bu/ac", "bushel_lb": 48, "water_unit": "in"}', name),
             file.path(folder, "network.json"))
  write.csv(trials, file.path(folder, "trials.csv"), row.names = FALSE, quote = TRUE, na = "")
  means <- data.frame(trial = d$trial, variety = d$variety, yield = d$yield)
  if (!is.null(weights)) means$plots <- weights
  write.csv(means, file.path(folder, "means.csv"), row.names = FALSE, quote = TRUE)
}

tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5),
                     check.conv.grad = "ignore", check.conv.singular = "ignore", check.conv.hess = "ignore")

# V = Z G Z' + R of the terms, and from it criterion, predictions and their errors, all dense.
dense <- function(d, v, weights = rep(1, nrow(d)), known = rep(0, nrow(d))) {
  y <- d$yield; n <- length(y)
  X <- model.matrix(~ 0 + factor(trial), d)
  Zv <- model.matrix(~ 0 + factor(variety), d)
  block <- function(f) model.matrix(~ 0 + factor(f))
  Z <- Zv; G <- diag(v$variety, ncol(Zv))
  if (!is.null(v$slope)) {
    k <- ncol(Zv); Z <- cbind(Zv, Zv * d$w)
    G <- rbind(cbind(diag(v$variety, k), diag(v$covariance, k)), cbind(diag(v$covariance, k), diag(v$slope, k)))
  }
  add <- function(Z, G, B, s) list(cbind(Z, B), as.matrix(Matrix::bdiag(G, diag(s, ncol(B)))))
  for (term in c("site", "season")) if (!is.null(v[[term]])) {
    both <- add(Z, G, block(paste(d$variety, d[[term]])), v[[term]]); Z <- both[[1]]; G <- both[[2]]
  }
  R <- diag(v$residual / weights + known)
  V <- Z %*% G %*% t(Z) + R; Vi <- solve(V)
  XVX <- t(X) %*% Vi %*% X; XVXi <- solve(XVX)
  P <- Vi - Vi %*% X %*% XVXi %*% t(X) %*% Vi
  reml <- (n - ncol(X)) * log(2 * pi) + as.numeric(determinant(V)$modulus) +
    as.numeric(determinant(XVX)$modulus) + as.numeric(t(y) %*% P %*% y)
  u <- G %*% t(Z) %*% P %*% y
  pev <- G - G %*% t(Z) %*% P %*% Z %*% G
  k <- ncol(Zv)
  list(reml = reml, varieties = sub("factor\\(variety\\)", "", colnames(Zv)), u = u[1:k], se = sqrt(diag(pev)[1:k]),
       difference = u[1] - u[2], difference_se = sqrt(pev[1, 1] + pev[2, 2] - 2 * pev[1, 2]))
}

json <- c()
record <- function(name, folder, terms, v, reml, at) {
  values <- paste(sprintf('"%s": %s', names(v), sapply(v, number)), collapse = ", ")
  effects <- paste(sprintf('"%s": [%s, %s]', at$varieties, sapply(at$u, number), sapply(at$se, number)), collapse = ", ")
  json <<- c(json, sprintf(
    '{"name": "%s", "folder": "%s", "terms": "%s", "reml": %s, "variance": {%s}, "effects": {%s}, "pair": ["%s", "%s"], "difference": [%s, %s]}',
    name, folder, terms, number(reml), values, effects, at$varieties[1], at$varieties[2],
    number(at$difference), number(at$difference_se)))
}
components <- function(m) {
  vc <- as.data.frame(VarCorr(m)); get <- function(g) vc$vcov[vc$grp == g & is.na(vc$var2)]
  list(variety = get("variety")[1], site = get("variety:site"), season = get("variety:season"), residual = get("Residual"))
}

d <- data.frame(trial = paste(barley$site, barley$year), site = barley$site, season = as.character(barley$year),
                variety = as.character(barley$variety), yield = barley$yield)
# Water is made for the test: a fixed number for each trial, so that a slope can be fitted at all.
codes <- sort(unique(d$trial)); water <- setNames(10 + ((seq_along(codes) * 7) %% 12), codes)
d$water <- water[d$trial]
by_trial <- unique(d[c("trial", "site", "season", "water")])
d$w <- (d$water - mean(by_trial$water)) / sd(by_trial$water)
three <- "variety + variety:site + variety:season"

m <- lmer(yield ~ 0 + trial + (1 | variety) + (1 | variety:site) + (1 | variety:season), d, control = tight)
v <- components(m); network("barley", d, by_trial)
record("barley", "barley", three, v, REMLcrit(m), dense(d, v))

weights <- 1 + (seq_len(nrow(d)) - 1) %% 3
m <- lmer(yield ~ 0 + trial + (1 | variety) + (1 | variety:site) + (1 | variety:season), d, weights = weights, control = tight)
v <- components(m); network("barley-weighted", d, by_trial, weights)
record("barley weighted", "barley-weighted", three, v, REMLcrit(m), dense(d, v, weights))

m <- lmer(yield ~ 0 + trial + (1 + w | variety) + (1 | variety:site), d, control = tight)
vc <- as.data.frame(VarCorr(m))
own <- vc[vc$grp == "variety", ]
v <- list(variety = own$vcov[own$var1 == "(Intercept)" & is.na(own$var2)], slope = own$vcov[own$var1 == "w" & is.na(own$var2)],
          covariance = own$vcov[!is.na(own$var2)], site = vc$vcov[vc$grp == "variety:site"],
          residual = vc$vcov[vc$grp == "Residual"])
record("barley with a slope", "barley", "variety*water + variety:site", v, REMLcrit(m), dense(d, v))

i <- reshape(immer, direction = "long", varying = c("Y1", "Y2"), v.names = "yield", timevar = "year")
i <- data.frame(trial = paste(i$Loc, i$year), site = i$Loc, season = as.character(1930 + i$year),
                variety = as.character(i$Var), yield = i$yield)
m <- lmer(yield ~ 0 + trial + (1 | variety) + (1 | variety:site) + (1 | variety:season), i, control = tight)
v <- components(m); network("immer", i, unique(i[c("trial", "site", "season")]))
record("immer (a variance of 0)", "immer", three, v, REMLcrit(m), dense(i, v))

# Known error variances: nothing in lme4 holds them, so base R minimises the dense criterion.
known_trials <- by_trial; known_trials$reps <- 3
known_trials$error_ms <- 12 + 3 * (seq_len(nrow(known_trials)) %% 5)
known <- setNames(known_trials$error_ms / known_trials$reps, known_trials$trial)[d$trial]
at <- function(p) { e <- exp(p); list(variety = e[1], site = e[2], residual = e[3]) }
best <- nlminb(log(c(7, 6, 8)), function(p) dense(d, at(p), known = known)$reml,
               control = list(rel.tol = 1e-14, x.tol = 1e-12, iter.max = 500))
best <- nlminb(best$par, function(p) dense(d, at(p), known = known)$reml, control = list(rel.tol = 1e-15, x.tol = 1e-13))
v <- at(best$par); network("barley-known", d, known_trials)
record("barley with known errors", "barley-known", "variety + variety:site", v, best$objective, dense(d, v, known = known))

# Criteria at fixed variances are free of any optimiser.
fixed <- sapply(list(c(10, 5, 2, 12), c(1, 1, 1, 20), c(0, 0, 0, 25)), function(x)
  sprintf('[%s, %s]', paste0("[", paste(x, collapse = ", "), "]"),
          number(dense(d, list(variety = x[1], site = x[2], season = x[3], residual = x[4]))$reml)))
writeLines(sprintf('{"fits": [%s], "fixed": [%s]}', paste(json, collapse = ",\n"), paste(fixed, collapse = ", ")),
  file.path(out, "reference.json"))
