# Rscript stage_one.R FOLDER: complete-block trials that come with R, analysed by `lm`: two-way additive, with
# plots lost in two of them and a yield mistyped in one. Writes plots and what `lm` says as expected.json, a list of trials.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
out <- commandArgs(TRUE)[1]

trial <- function(name, variety, rep, yield) {
  v <- factor(variety, levels = unique(variety)); b <- factor(rep)
  model <- lm(yield ~ b + v)
  table <- anova(model)
  # A mean is that of the average replicate; differences come from the covariance of these means.
  at <- do.call(rbind, lapply(levels(v), function(level) colMeans(model.matrix(~ b + v, data.frame(
    b = factor(levels(b), levels(b)), v = factor(level, levels(v)))))))
  means <- drop(at %*% coef(model))
  covariance <- at %*% vcov(model) %*% t(at)
  pairs <- outer(diag(covariance), diag(covariance), "+") - 2 * covariance
  pairs <- pairs[upper.tri(pairs)]
  ms <- summary(model)$sigma^2
  sed <- sqrt(mean(pairs))
  list(name = name, variety = variety, rep = rep, yield = yield,
       means = as.list(setNames(means, levels(v))), error_ms = ms, error_df = model$df.residual,
       f = table["v", "F value"], p = table["v", "Pr(>F)"], studentised = unname(rstudent(model)),
       outlying = min(1, 2 * length(yield) * pt(max(abs(rstudent(model))), model$df.residual - 1, lower.tail = FALSE)),
       varieties_ss = table["v", "Sum Sq"], reps_ss = table["b", "Sum Sq"],
       cv = 100 * sqrt(ms) / mean(yield),
       sed = list(least = sqrt(min(pairs)), average = sed, greatest = sqrt(max(pairs))),
       lsd = qt(0.975, model$df.residual) * sed)
}

of <- function(name, rows, lost = integer(0)) {
  rows <- rows[setdiff(seq_len(nrow(rows)), lost), ]
  trial(name, rows$variety, rows$rep, rows$yield)
}
wheat <- wheat_network()$means
names(wheat)[names(wheat) == "trial"] <- "rep"
oats <- data.frame(variety = number("V", MASS::oats$V), rep = number("B", MASS::oats$B), yield = MASS::oats$Y)
rate <- MASS::oats$N
# Varieties with rates of nitrogen, or with dates of cutting, as treatments of complete blocks.
treatments <- transform(oats, variety = paste(variety, rate))
alfalfa <- with(nlme::Alfalfa, data.frame(variety = paste(Variety, Date), rep = as.character(Block), yield = Yield))
mistyped <- treatments
mistyped$yield[31] <- 10 * mistyped$yield[31]
trials <- c(list(of("wheat", wheat), of("wheat with lost plots", wheat, c(1, 5, 60, 61, 117, 200))),
            lapply(levels(rate), function(n) of(paste("oats", n), oats[rate == n, ])),
            list(of("oats with lost plots", oats[rate == levels(rate)[1], ], c(2, 9))),
            list(of("alfalfa", alfalfa), of("oats and nitrogen", treatments), of("oats mistyped", mistyped)))
write_json(trials, out)
