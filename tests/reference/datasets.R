# Open field trials that come with R (packages lattice, MASS, nlme), as networks. Sources, from their help pages:
#   barley   10 varieties, 6 sites, 1931 and 1932, bu/ac: Immer, Hayes & Powers 1934, J. Am. Soc. Agron. 26:403
#   oats     3 varieties x 4 rates of nitrogen in 6 blocks: Yates 1935, J. R. Stat. Soc. Suppl. 2:181
#   alfalfa  3 varieties x 4 dates of the third cutting in 6 blocks: Snedecor & Cochran 1967
#   wheat    56 varieties in 4 complete blocks: Stroup, Baenziger & Mulitze 1994, Crop Sci. 34:62
# Blocks of one field stand in for sites and treatments for systems: odd as agronomy, honest as arithmetic.

network_of <- function(name, rows) {
  trials <- unique(rows[setdiff(names(rows), c("variety", "yield"))])
  list(name = name, trials = trials, means = rows[c("trial", "variety", "yield")])
}

# Levels by number, as the package orders them: V01 is the first variety, S01 the first site.
number <- function(letter, x) sprintf("%s%02d", letter, as.integer(factor(x)))

# Water is what the trial made of it: its mean yield (Finlay & Wilkinson 1963).
barley_network <- function() {
  b <- lattice::barley
  year <- as.integer(as.character(b$year))
  rows <- data.frame(trial = paste(number("S", b$site), year, sep = "-"), site = number("S", b$site),
                     season = year, system = "all", variety = number("V", b$variety), yield = b$yield)
  rows$water <- ave(rows$yield, rows$trial)
  network_of("barley", rows)
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
