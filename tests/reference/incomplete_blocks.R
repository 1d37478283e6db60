# Rscript incomplete_blocks.R FOLDER: trials in incomplete blocks, varieties and replicates fixed, blocks random.
# Writes plots and what lme4, nlme and base R make of them as expected.json, a list of trials.
#
# lme4 and nlme find the variances by themselves; `dense` starts from the formulas: V = I + gamma ZZ', the REML
# criterion by base R's `optimize`, polished by `uniroot` on its derivative, and everything else by
# generalised least squares at that gamma.
# Trials, with their sources:
#   alpha      24 oats in 3 replicates of 6 blocks of 4, dry matter t/ha: John & Williams 1995, Cyclic and
#              Computer Generated Designs, Chapman & Hall, p. 146 (as the R package agridat has it, john.alpha)
#   maize      13 hybrids in 13 blocks of 4, balanced, no replicates: Cochran & Cox 1957, Experimental Designs,
#              Wiley, ch. 11 (as agridat has it, cochran.bib)
#   npk        8 fertilisers in 6 blocks of 4, the triple interaction confounded: Venables & Ripley 2002 (datasets)
#   oats, alfalfa   split plots, whole plots as blocks: Yates 1935; Snedecor & Cochran 1967 (MASS, nlme)
#   wheat      56 varieties, rows of the field as blocks of a replicate: Stroup et al. 1994 (nlme::Wheat2)
#   checks     of the same, four varieties in every block and the others in one: an augmented design
suppressMessages({ library(lme4); library(nlme) })
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
out <- commandArgs(TRUE)[1]

tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5),
                     check.conv.grad = "ignore", check.conv.singular = "ignore", check.conv.hess = "ignore")

differences <- function(covariance) {
  pairs <- outer(diag(covariance), diag(covariance), "+") - 2 * covariance
  pairs[upper.tri(pairs)]
}
sed_of <- function(pairs) list(least = sqrt(min(pairs)), average = sqrt(mean(pairs)), greatest = sqrt(max(pairs)))

# Means in the average replicate, as a matrix times the coefficients of X.
at_means <- function(x, v, rep) {
  average <- colMeans(x[match(levels(rep), rep), , drop = FALSE])
  columns <- grep("^v", colnames(x))
  t(sapply(seq_len(nlevels(v)), function(i) {
    row <- average
    row[columns] <- 0
    if (i > 1) row[columns[i - 1]] <- 1
    row
  }))
}

# Everything at ratio g.
gls <- function(y, x, zz, g) {
  v <- diag(length(y)) + g * zz
  root <- t(chol(v))
  ys <- forwardsolve(root, y); xs <- forwardsolve(root, x)
  decomposed <- qr(xs)
  rss <- sum(qr.resid(decomposed, ys)^2)
  df <- length(y) - ncol(x)
  list(coef = qr.coef(decomposed, ys), inverse = chol2inv(qr.R(decomposed)), rss = rss, df = df, root = root,
       ys = ys, xs = xs,
       criterion = df * log(rss) + 2 * sum(log(diag(root))) + 2 * sum(log(abs(diag(qr.R(decomposed))))))
}

# Derivative of the criterion: tr(P ZZ') - df * y'P ZZ'P y / y'P y.
slope <- function(y, x, zz, g) {
  i <- solve(diag(length(y)) + g * zz)
  p <- i - i %*% x %*% solve(crossprod(x, i %*% x), crossprod(x, i))
  py <- p %*% y
  sum(p * zz) - (length(y) - ncol(x)) * drop(crossprod(py, zz %*% py)) / sum(y * py)
}

ratio <- function(y, x, zz) {
  f <- function(g) gls(y, x, zz, g)$criterion
  grid <- c(0, 10^seq(-4, 3, by = 0.25))
  best <- which.min(sapply(grid, f))
  if (best == 1 && slope(y, x, zz, 0) >= 0) return(0)
  uniroot(function(g) slope(y, x, zz, g), grid[c(max(best - 1, 1), best + 1)], tol = 1e-14)$root
}

trial <- function(name, variety, rep, block, yield, nlme = TRUE) {
  d <- data.frame(y = yield, v = factor(variety, levels = unique(variety)), r = factor(rep),
                  b = factor(paste(rep, block)))
  reps <- nlevels(d$r) > 1
  fixed <- if (reps) y ~ r + v else y ~ v
  x <- model.matrix(fixed, d)
  z <- indicator(d$b)
  zz <- tcrossprod(z)
  g <- ratio(d$y, x, zz)
  fit <- gls(d$y, x, zz, g)
  at <- at_means(x, d$v, d$r)
  ms <- fit$rss / fit$df
  error_df <- nrow(d) - qr(cbind(x, z))$rank
  sed <- sed_of(differences(at %*% fit$inverse %*% t(at)) * ms)
  columns <- grep("^v", colnames(x))
  wald <- drop(fit$coef[columns] %*% solve(fit$inverse[columns, columns], fit$coef[columns])) / ms / length(columns)
  complete <- lm(fixed, d)
  plain <- sed_of(differences(at %*% vcov(complete) %*% t(at)))
  # A plot's own parameter beside the others: what it deviates by, over its standard error. The only plot of a
  # variety leaves nothing to judge it by.
  studentised <- sapply(seq_len(nrow(d)), function(i) {
    own <- forwardsolve(fit$root, as.numeric(seq_len(nrow(d)) == i))
    with_own <- lm(fit$ys ~ 0 + fit$xs + own)
    if (with_own$rank == ncol(x)) NA else coef(summary(with_own))["own", "t value"]
  })
  random <- lmer(update(fixed, . ~ . + (1 | b)), d, control = tight)
  variances <- as.data.frame(VarCorr(random))$vcov
  answer <- list(
    name = name, variety = as.character(variety), rep = as.character(rep), block = as.character(block),
    yield = yield, means = as.list(setNames(drop(at %*% fit$coef), levels(d$v))),
    error_ms = ms, block_variance = g * ms, error_df = error_df, blocks_df = fit$df - error_df, f = wald,
    p = pf(wald, length(columns), error_df, lower.tail = FALSE),
    sed = sed, lsd = qt(0.975, error_df) * sed$average, cv = 100 * sqrt(ms) / mean(yield),
    intra_block_ms = summary(lm(update(fixed, . ~ . + b), d))$sigma^2,
    efficiency = (plain$average / sed$average)^2, studentised = studentised,
    outlying = min(1, 2 * sum(!is.na(studentised)) * pt(max(abs(studentised), na.rm = TRUE), error_df - 1, lower.tail = FALSE)),
    lme4 = list(error_ms = variances[2], block_variance = variances[1],
                means = as.list(setNames(drop(at %*% fixef(random)), levels(d$v))),
                sed = sed_of(differences(at %*% as.matrix(vcov(random)) %*% t(at)))))
  if (nlme) {
    by_nlme <- lme(fixed, d, random = ~ 1 | b, control = lmeControl(opt = "optim", reltol = 1e-12, tolerance = 1e-10))
    answer$nlme <- as.list(unlist(anova(by_nlme, type = "marginal")["v", c("denDF", "F-value")]))
    names(answer$nlme) <- c("df", "f")
  }
  answer
}

alpha <- read.csv(file.path(here, "alpha.csv"))
maize <- read.csv(file.path(here, "maize.csv"))
npk <- datasets::npk
oats <- MASS::oats
alfalfa <- nlme::Alfalfa
wheat <- as.data.frame(nlme::Wheat2)
wheat <- data.frame(variety = number("V", as.character(wheat$variety)), rep = number("R", as.character(wheat$Block)),
                    row = number("L", wheat$latitude), yield = wheat$yield)
lost <- c(2, 3, 50, 51, 52, 111, 170, 224)
check <- as.integer(substring(wheat$variety, 2)) <= 4
once <- as.integer(substring(wheat$variety, 2)) %% 4 == as.integer(substring(wheat$rep, 2)) %% 4
augmented <- wheat[check | once, ]

trials <- list(
  trial("alpha", alpha$variety, alpha$rep, alpha$block, alpha$yield),
  trial("alpha with lost plots", alpha$variety[-c(1, 6, 40)], alpha$rep[-c(1, 6, 40)], alpha$block[-c(1, 6, 40)],
        alpha$yield[-c(1, 6, 40)]),
  trial("maize", maize$variety, rep("", nrow(maize)), maize$block, maize$yield),
  trial("npk", paste0(npk$N, npk$P, npk$K), rep("", nrow(npk)), as.character(npk$block), npk$yield, nlme = FALSE),
  trial("oats", paste(oats$V, oats$N), as.character(oats$B), as.character(oats$V), oats$Y, nlme = FALSE),
  trial("alfalfa", paste(alfalfa$Variety, alfalfa$Date), as.character(alfalfa$Block), as.character(alfalfa$Variety),
        alfalfa$Yield, nlme = FALSE),
  trial("wheat", wheat$variety, wheat$rep, wheat$row, wheat$yield),
  trial("wheat with lost plots", wheat$variety[-lost], wheat$rep[-lost], wheat$row[-lost], wheat$yield[-lost]),
  trial("checks", augmented$variety, rep("", nrow(augmented)), augmented$rep, augmented$yield),
  # Every third plot of a replicate in a block: no soil goes with these, and the variance of blocks is 0.
  trial("boundary", alpha$variety, alpha$rep, rep(1:6, 12), alpha$yield))
write_json(trials, out)
