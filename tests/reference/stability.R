# Rscript stability.R FOLDER: the classical stability numbers of complete tables, by `lm` wherever it has a part in
# them, and adjusted means of tables with gaps. expected.json is a list of tables, NULLs left out.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
out <- commandArgs(TRUE)[1]

wide <- function(means) {
  m <- tapply(means$yield, list(means$variety, means$trial), mean)
  stopifnot(!anyNA(m))
  m
}

complete <- function(name, m, level, share = 0.8, check = 2) {
  long <- data.frame(y = c(m), i = factor(row(m)), j = factor(col(m)))
  k <- nrow(m); n <- ncol(m)
  environment <- colMeans(m)
  lines <- apply(m, 1, function(y) lm(y ~ environment))
  additive <- lm(y ~ i + j, long)
  w <- tapply(resid(additive)^2, long$i, sum)
  # All k variances add up to k interaction mean squares, those of the others to k - 1 of the table without variety i;
  # Shukla's is the difference.
  without <- vapply(seq_len(k), function(i) sum(resid(lm(y ~ i + j, droplevels(long[long$i != i, ])))^2), 0)
  shukla <- k * sum(w) / ((n - 1) * (k - 1)) - (k - 1) * without / ((n - 1) * (k - 2))
  best <- apply(m, 2, max)
  differences <- sweep(m, 2, m[check, ])
  percent <- sweep(m, 2, environment, "/") * 100
  list(name = name, rows = unname(lapply(seq_len(k), function(i) unname(m[i, ]))), level = level, share = share, check = check - 1,
       variety_means = unname(rowMeans(m)), environment_means = unname(environment),
       slope = unname(vapply(lines, function(l) coef(l)[[2]], 0)),
       deviation_ms = unname(vapply(lines, function(l) summary(l)$sigma^2, 0)),
       ecovalence = as.vector(w), stability_variance = shukla,
       superiority = unname(apply(m, 1, function(y) mean((y - best)^2) / 2)),
       sd = unname(apply(m, 1, sd)),
       below = unname(apply(m, 1, function(y) pnorm(level, mean(y), sd(y)))),
       above = unname(pnorm(rowMeans(differences) / apply(differences, 1, sd)))[-check],
       reliable = unname(apply(m, 1, function(y) qnorm(1 - share, mean(y), sd(y)))),
       reliable_percent = unname(apply(percent, 1, function(y) qnorm(1 - share, mean(y), sd(y)))))
}

# Least squares means by `lm`, both factors averaged with equal weight. Where varieties fall into groups that share no
# trial, `lm` finds no estimate for some of them.
additive <- function(name, means) {
  means$variety <- factor(means$variety); means$trial <- factor(means$trial)
  model <- lm(yield ~ variety + trial, means)
  table <- list(name = name, variety = as.integer(means$variety) - 1, environment = as.integer(means$trial) - 1,
                yield = means$yield)
  if (anyNA(coef(model))) return(table)
  grid <- expand.grid(variety = levels(means$variety), trial = levels(means$trial))
  fitted <- predict(model, grid)
  c(table, list(varieties = as.vector(tapply(fitted, grid$variety, mean)),
                environments = as.vector(tapply(fitted, grid$trial, mean))))
}

write_json(list(
  complete = list(complete("barley", wide(barley_network()$means), level = 25),
                  complete("immer", wide(immer_network()$means), level = 80, share = 0.95, check = 4),
                  complete("penicillin", wide(penicillin_network()$means), level = 22, share = 0.7, check = 24)),
  additive = list(additive("barley with rows lost", barley_lost()$means),
                  additive("arabidopsis", arabidopsis_network()$means),
                  additive("lectures", lectures_network()$means)),
  apart = additive("peas, each half of the treatments in blocks of its own", peas_network()$means)), out)
