# Fits a network's folder with lme4 and prints {"version", "seconds", "reml"}: Rscript lme4.R FOLDER RUNS
#
# As a default call of lmer; the clock runs around the call alone, and the median of RUNS is printed.
# Seconds are those of the processor.

suppressPackageStartupMessages(library(lme4))
arguments <- commandArgs(trailingOnly = TRUE)
trials <- read.csv(file.path(arguments[1], "trials.csv"))
means <- read.csv(file.path(arguments[1], "means.csv"))
trials <- trials[trials$trial %in% means$trial, ]
trials$w <- as.numeric(scale(trials$water))
d <- merge(means, trials, by = "trial", sort = FALSE)
for (column in c("trial", "variety", "site", "season")) d[[column]] <- factor(d[[column]])
model <- yield ~ 0 + trial + (1 + w | variety) + (1 | variety:site) + (1 | variety:season)
seconds <- numeric(0)
for (run in seq_len(as.integer(arguments[2]))) {
  taken <- system.time(fit <- lmer(model, d, REML = TRUE))
  seconds[run] <- taken[["user.self"]] + taken[["sys.self"]]
}
cat(sprintf('{"version": "%s", "seconds": %.4f, "reml": %.10f}\n',
            packageVersion("lme4"), median(seconds), REMLcrit(fit)))
