# Rscript fixed.R FOLDER: what the mixed model says at variances that are given, so that no optimiser has a part in it:
# criterion, predictions, their errors, and differences, by dense matrices. One folder a case; expected.json is a list
# of points, each with its variances under `at`.

here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "common.R"))
source(file.path(here, "datasets.R"))
out <- commandArgs(TRUE)[1]

case <- function(name, network, terms, points, known = 0) {
  folder <- file.path(out, name)
  write_network(folder, network)
  rows <- rows_of(network)
  divisors <- divisors_of(rows)
  setup <- dense_setup(rows, terms, divisors, known)
  write_json(lapply(points, function(at) {
    theta <- as.list(setNames(at, names(setup$v)))
    effects <- dense_effects(setup, theta)
    henderson_agrees(setup, theta, effects)
    expected <- expectation(terms, dense_solve(setup, theta)$criterion, theta, setup$systems, effects, divisors,
                            water_scales(network))
    c(list(at = theta), expected[setdiff(names(expected), c("variance", "scale", "water"))])
  }), folder)
}

three <- c("variety", "site", "season")
points <- list(c(10, 5, 2, 12), c(1, 1, 1, 20), c(0, 0, 0, 25))
case("barley", barley_network(), three, points)
case("weighted", barley_network(weighted = TRUE), three, points)
case("lost", barley_lost(), three, points)
# The order is variety, slope, (site, season,) covariance, residual; the second has a correlation of 1.
case("immer", immer_network(), three, list(c(90, 45, 5, 130), c(90, 45, 0, 130)))
case("slope", barley_lost(weighted = TRUE), c("variety", "water", "site"), list(c(8, 3, 1, 4, 16), c(4, 1, 2, 2, 9)))
stated <- barley_network()
stated$trials$reps <- 3
stated$trials$error_ms <- 30
case("known", stated, three, list(c(7, 5, 1, 4), c(7, 5, 1, 0)), known = 10)
case("systems", oats_network(systems = TRUE), c("variety", "site", "system"),
     list(c(0.01, 0.02, 0.005, 0.03, 0.02, 0.01, 0.015)))
write_json(as.list(list.files(out)), out, "cases.json")
