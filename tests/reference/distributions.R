# Rscript distributions.R FOLDER: what the draws are made of, by the quantile functions of R, as expected.json.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
out <- commandArgs(TRUE)[1]

count <- 2048
points <- qnorm((seq_len(count) - 0.5) / count)
t_grid <- expand.grid(share = c(0.01, 0.05, 0.1, 0.25, 0.4, 0.75, 0.9, 0.95, 0.99), df = c(5, 8, 12, 30))

# Every 64th of the sorted points: the others lie between.
shown <- seq(1, count, by = 64)
write_json(list(
  normal_points = list(place = shown - 1, score = (points / sqrt(mean(points^2)))[shown]),
  student = unname(Map(function(p, d) list(share = p, df = d, t = qt(p, d)), t_grid$share, t_grid$df))), out)
