# Open data that come with R (packages datasets, lattice, MASS, nlme, lme4), as networks. Sources, from their help
# pages; what stands in for a variety, and where for a trial:
#   barley       10 varieties, 6 sites, 1931 and 1932, bu/ac: Immer, Hayes & Powers 1934, J. Am. Soc. Agron. 26:403
#   immer        5 varieties of the same, 6 sites, 2 seasons: Venables & Ripley 2002
#   oats         3 varieties x 4 rates of nitrogen in 6 blocks: Yates 1935, J. R. Stat. Soc. Suppl. 2:181
#   alfalfa      3 varieties x 4 dates of the third cutting in 6 blocks: Snedecor & Cochran 1967
#   wheat        56 varieties in 4 complete blocks: Stroup, Baenziger & Mulitze 1994, Crop Sci. 34:62
#   soybean      leaf weight of 2 varieties, 3 seasons x the ages of the plants: Davidian & Giltinan 1995
#   peas         8 treatments of peas, 4 in each of 6 blocks (npk): Venables & Ripley 2002
#   pines        14 seed sources of pine x 6 ages (Loblolly): Kung 1986
#   arabidopsis  24 genotypes x rack x nutrients x clipping x way of sowing: Banta, Stevens & Pigliucci 2010, Oikos 119:359
#   cakes        6 temperatures x 3 recipes in 15 batches: Cochran & Cox 1957, p. 300
#   penicillin   24 plates x 6 samples: Davies & Goldsmith 1972
#   machines     6 workers x 3 machines, 3 times each: Milliken & Johnson 1992
#   assay        6 samples x 5 dilutions in 2 blocks: Pinheiro & Bates 2000
#   specimens    7 specimens x 6 laboratories x 3 batches, 2 readings each (coop): Analytical Methods Committee 1987
#   reactions    18 subjects x 10 days (sleepstudy): Belenky et al. 2003, J. Sleep Res. 12:1
#   chicks       50 chicks x 12 ages, some of them lost (ChickWeight): Crowder & Hand 1990
#   lectures     60 lecturers x kind of course x age of student and of lecture (InstEval): lme4
#   litters      4 genotypes of rat x 4 of foster mother (genotype): Scheffe 1959, p. 140
# Blocks of one field stand in for sites, treatments for systems, ages for water: odd as agronomy, honest as
# arithmetic.

network_of <- function(name, rows) {
  of_mean <- intersect(c("trial", "variety", "yield", "plots"), names(rows))
  trials <- unique(rows[c("trial", setdiff(names(rows), of_mean))])
  list(name = name, trials = trials, means = rows[of_mean])
}

# One row a variety and trial: the mean of its plots, and how many there are.
cells <- function(rows) {
  cell <- paste(rows$trial, rows$variety)
  rows$plots <- ave(rows$yield, cell, FUN = length)
  rows$yield <- ave(rows$yield, cell)
  rows[!duplicated(cell), ]
}

# Levels by number, as the package orders them: V01 is the first variety, S01 the first site.
number <- function(letter, x) sprintf("%s%02d", letter, as.integer(factor(x)))

# Water is what the trial made of it: its mean yield (Finlay & Wilkinson 1963).
barley_network <- function(weighted = FALSE, kept = rep(TRUE, 120)) {
  b <- lattice::barley
  year <- as.integer(as.character(b$year))
  rows <- data.frame(trial = paste(number("S", b$site), year, sep = "-"), site = number("S", b$site),
                     season = year, system = "all", variety = number("V", b$variety), yield = b$yield)
  rows$water <- ave(rows$yield, rows$trial)
  if (weighted) rows$plots <- 1 + (seq_len(nrow(rows)) - 1) %% 3
  network_of("barley", rows[kept, ])
}

# Three rows in ten are lost, by rule.
barley_lost <- function(weighted = FALSE) barley_network(weighted, kept = (7 * seq_len(120)) %% 10 >= 3)

immer_network <- function() {
  i <- MASS::immer
  site <- rep(number("S", i$Loc), 2)
  season <- rep(1931:1932, each = nrow(i))
  network_of("immer", data.frame(trial = paste(site, season, sep = "-"), site = site, season = season, system = "all",
                                 variety = rep(number("V", i$Var), 2), yield = c(i$Y1, i$Y2)))
}

# Nitrogen as the water of a slope, or each of its rates as a system.
oats_network <- function(systems) {
  o <- MASS::oats
  rows <- data.frame(trial = paste(number("S", o$B), number("N", o$N), sep = "-"), site = number("S", o$B),
                     season = 1930L, system = if (systems) number("N", o$N) else "all",
                     variety = number("V", o$V), yield = o$Y)
  if (!systems) rows$water <- 100 * as.numeric(sub("cwt", "", o$N))
  network_of("oats", rows)
}

alfalfa_network <- function() {
  a <- nlme::Alfalfa
  site <- number("S", as.character(a$Block))
  network_of("alfalfa", data.frame(trial = paste(site, number("D", a$Date), sep = "-"), site = site,
                                   season = 1940L, system = "all", variety = number("V", a$Variety),
                                   yield = a$Yield))
}

wheat_network <- function() {
  w <- nlme::Wheat2
  site <- number("S", as.character(w$Block))
  network_of("wheat", data.frame(trial = site, site = site, season = 1990L, system = "all",
                                 variety = number("V", as.character(w$variety)), yield = w$yield))
}

# ---- one grouping of trials, or none ----

# Varieties in trials at one place and time: only the main effect, and a slope where the trial's number means something.
plain_network <- function(name, variety, trial, yield, water = NULL, plots = NULL) {
  rows <- data.frame(trial = number("T", trial), site = "S01", season = 2000L, system = "all",
                     variety = number("V", as.character(variety)), yield = as.numeric(yield))
  if (!is.null(water)) rows$water <- as.numeric(water)
  if (!is.null(plots)) rows$plots <- plots
  network_of(name, rows)
}

penicillin_network <- function() with(lme4::Penicillin, plain_network("penicillin", plate, sample, diameter))
reactions_network <- function() with(lme4::sleepstudy, plain_network("reactions", Subject, Days, Reaction, Days))
chicks_network <- function() with(datasets::ChickWeight, plain_network("chicks", Chick, Time, weight, Time))
pines_network <- function() with(datasets::Loblolly, plain_network("pines", Seed, age, height, age))
peas_network <- function() with(datasets::npk, plain_network("peas", paste(N, P, K), block, yield))
litters_network <- function() {
  g <- MASS::genotype
  rows <- cells(data.frame(trial = g$Mother, variety = g$Litter, yield = g$Wt))
  plain_network("litters", rows$variety, rows$trial, rows$yield, plots = rows$plots)
}

# ---- sites and seasons ----

crossed <- function(name, variety, site, season, yield, others = NULL) {
  rows <- data.frame(site = number("S", as.character(site)), season = 2000L + as.integer(factor(season)), system = "all",
                     variety = number("V", as.character(variety)), yield = as.numeric(yield))
  rows <- cbind(trial = do.call(paste, c(list(rows$site, rows$season), others, sep = "-")), rows)
  network_of(name, if (anyDuplicated(rows[c("trial", "variety")])) cells(rows) else rows)
}

cakes_network <- function() with(lme4::cake, crossed("cakes", temp, recipe, replicate, angle))
machines_network <- function() {
  m <- nlme::Machines
  run <- ave(m$score, m$Worker, m$Machine, FUN = seq_along)
  crossed("machines", m$Worker, m$Machine, run, m$score)
}
# Optical densities are logarithms: 1 is added to keep them above 0.
assay_network <- function() with(nlme::Assay, crossed("assay", sample, dilut, Block, logDens + 1))
soybean_network <- function() with(nlme::Soybean, crossed("soybean", Variety, round(Time / 7), Year, weight))

# The 60 lecturers with most ratings.
lectures_network <- function() {
  e <- lme4::InstEval
  most <- names(sort(-table(e$d)))[1:60]
  e <- e[e$d %in% most, ]
  crossed("lectures", e$d, e$service, e$studage, e$y, others = list(number("L", e$lectage)))
}

# Two readings a specimen, laboratory and batch: real error mean squares, one a trial.
specimens_network <- function() {
  p <- MASS::coop
  trial <- paste(number("S", p$Lab), number("B", p$Bat), sep = "-")
  cell <- paste(trial, p$Spc)
  error_ms <- ave((p$Conc - ave(p$Conc, cell))^2, trial, FUN = sum) / 7
  rows <- data.frame(trial = trial, site = number("S", p$Lab), season = 1980L + as.integer(p$Bat), system = "all",
                     variety = number("V", p$Spc), yield = ave(p$Conc, cell), reps = 2, error_ms = error_ms)
  network_of("specimens", rows[!duplicated(cell), ])
}

# ---- systems ----

# Fruits of each genotype, on a log scale; nutrients are the system, racks the sites.
arabidopsis_network <- function() {
  a <- lme4::Arabidopsis
  rows <- data.frame(trial = paste(number("R", a$rack), number("N", a$nutrient), number("A", a$amd), number("W", a$status),
                                   sep = "-"),
                     site = number("R", a$rack), season = 2000L, system = number("N", a$nutrient),
                     variety = sprintf("V%02d", a$gen), yield = log(1 + a$total.fruits))
  network_of("arabidopsis", cells(rows))
}

# Each machine a system of its own.
machine_systems_network <- function() {
  network <- machines_network()
  network$trials$system <- sub("S", "M", network$trials$site)
  network
}
