//! The truth behind one simulated network: variances, varieties, sites, climate, diseases.
//!
//! y/c_s = η(1 − Σ_d L_d·a_id·p_d) + η^κ·(u_i + b_i·w + u_is + u_ik + u_it) + √g·r, and in a trial + √g·e, with
//! log η = λ_s·w + site_k + season_t + ε. u, b and u_is are differences from the reference set's mean, so that
//! η is what that set makes, as the forecast defines it. Water w is standardised by its true mean and standard
//! deviation over sites and seasons; variances are in squared shares of c_s. [`super::draw_world`] draws it. It
//! knows no fit.

use super::random::Stream;

/// First season of the trials.
pub const FIRST_SEASON: i32 = 2001;
/// Codes of the production systems.
pub const SYSTEMS: [&str; 2] = ["dryland", "irrigated"];
/// Mean of a reference crop in each system, t/ha.
pub const SCALE: [f64; 2] = [3.0, 5.5];
/// Mean water by system, mm.
pub const WATER_MEAN: [f64; 2] = [350.0, 600.0];
/// Standard deviation of water between sites, between seasons, and of one site in one season, mm.
pub const WATER_SITES: f64 = 40.0;
const WATER_SEASONS: f64 = 60.0;
const WATER_REST: f64 = 45.0;

/// How large a network is and which of its numbers are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Varieties ever tested.
    pub varieties: usize,
    /// Trials, those lost to drought too.
    pub trials: usize,
    /// Sites.
    pub sites: usize,
    /// Seasons.
    pub seasons: usize,
    /// Production systems, 1 or 2.
    pub systems: usize,
    /// Checks, in the trials of every season.
    pub checks: usize,
    /// Replicates of every trial.
    pub reps: usize,
    /// Whether trials state their water.
    pub water_known: bool,
    /// Whether there is a long record of water.
    pub long_record: bool,
    /// Whether trials state their error mean square.
    pub errors_known: bool,
    /// Whether years of release are known.
    pub release_known: bool,
    /// Degrees of freedom of the trials' scale g; `None` for g = 1.
    pub tails: Option<f64>,
    /// Power of the level that differences grow with.
    pub kappa: f64,
    /// Breeding progress a year, standard deviations of varieties.
    pub gain: f64,
}

/// True variances, squared shares of the system's mean, or of the log level.
#[derive(Debug, Clone, PartialEq)]
pub struct TrueVariances {
    /// Main effect about the trend over entry years.
    pub variety: f64,
    /// Slope on water.
    pub slope: f64,
    /// Correlation of main effect and slope.
    pub correlation: f64,
    /// Variety × site.
    pub site: f64,
    /// Variety × season.
    pub season: f64,
    /// Variety × system.
    pub system: f64,
    /// Variety × trial.
    pub trial: f64,
    /// Error of a plot.
    pub plot: f64,
    /// Log level: sites.
    pub level_site: f64,
    /// Log level: seasons.
    pub level_season: f64,
    /// Log level: trials.
    pub level_trial: f64,
}

/// One disease.
#[derive(Debug, Clone, PartialEq)]
pub struct TrueThreat {
    /// Published loss and its standard deviation.
    pub published: (f64, f64),
    /// The loss.
    pub loss: f64,
    /// Susceptibility of each variety, 0–1 in eighths.
    pub susceptibility: Vec<f64>,
    /// Whether each variety is rated.
    pub rated: Vec<bool>,
    /// Mean of the latent severity.
    pub mean: f64,
}

/// One variety.
#[derive(Debug, Clone, PartialEq)]
pub struct TrueVariety {
    /// First and last season (index) in which it is entered.
    pub seasons: (usize, usize),
    /// Main effect.
    pub main: f64,
    /// Slope on water.
    pub slope: f64,
    /// By system.
    pub system: Vec<f64>,
    /// By site.
    pub site: Vec<f64>,
}

/// Everything that is true of a network and does not change from season to season.
#[derive(Debug, Clone, PartialEq)]
pub struct World {
    /// Sizes and what is known.
    pub shape: Shape,
    /// Variances.
    pub variances: TrueVariances,
    /// Varieties; the checks come first.
    pub varieties: Vec<TrueVariety>,
    /// Slope of the log level on water, by system.
    pub response: Vec<f64>,
    /// Site effects of the log level.
    pub sites: Vec<f64>,
    /// Water of each site less its system's mean, mm.
    pub site_water: Vec<f64>,
    /// Diseases.
    pub threats: Vec<TrueThreat>,
    /// Logit of the chance of no harvest at w = 0 by system, and its slope on water.
    pub no_harvest: (Vec<f64>, f64),
}

/// What one season brings to all sites.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// Departure of the log level.
    pub level: f64,
    /// Water, mm from the mean.
    pub water: f64,
    /// Latent severity of each disease.
    pub severity: Vec<f64>,
    /// Departure of each variety.
    pub varieties: Vec<f64>,
}

/// What one field or trial meets in one season.
#[derive(Debug, Clone, PartialEq)]
pub struct Meeting {
    /// System.
    pub system: usize,
    /// Site.
    pub site: usize,
    /// Water, standardised.
    pub water: f64,
    /// Level η of the reference set without diseases, a share.
    pub level: f64,
    /// Pressure of each disease, 0–3.
    pub pressure: Vec<u8>,
    /// Whether drought left nothing to harvest.
    pub failed: bool,
    /// Scale g of what is the trial's own.
    pub scale: f64,
}

impl World {
    /// A new season.
    pub fn season(&self, stream: &mut Stream) -> Season {
        Season {
            level: self.variances.level_season.sqrt() * stream.normal(),
            water: WATER_SEASONS * stream.normal(),
            severity: self.threats.iter().map(|_| 0.7 * stream.normal()).collect(),
            varieties: self
                .varieties
                .iter()
                .map(|_| self.variances.season.sqrt() * stream.normal())
                .collect(),
        }
    }

    /// Water of a site and system in a season, mm.
    pub fn water(&self, season: &Season, site: usize, system: usize, stream: &mut Stream) -> f64 {
        let amount = WATER_MEAN[system] + self.site_water[site] + season.water + WATER_REST * stream.normal();
        amount.max(20.0).round()
    }

    /// Amount of water in standard deviations from the mean.
    pub fn standard(&self, system: usize, amount: f64) -> f64 {
        (amount - WATER_MEAN[system]) / water_spread()
    }

    /// Mean water of a site, mm.
    pub fn mean_water(&self, site: usize, system: usize) -> f64 {
        WATER_MEAN[system] + self.site_water[site]
    }

    /// Water below which a third of a site's seasons lie, mm.
    pub fn dry_third(&self, site: usize, system: usize) -> f64 {
        // The normal law's lower tertile.
        const TERTILE: f64 = -0.430_727_299;
        let spread = (WATER_SEASONS.powi(2) + WATER_REST.powi(2)).sqrt();
        WATER_MEAN[system] + self.site_water[site] + TERTILE * spread
    }

    /// What a trial or a field at a site meets, given the season's water there.
    pub fn meeting(
        &self,
        season: &Season,
        (site, system): (usize, usize),
        amount: f64,
        stream: &mut Stream,
    ) -> Meeting {
        let water = self.standard(system, amount);
        let departure = season.level + self.variances.level_trial.sqrt() * stream.normal();
        let level = (self.response[system] * water + self.sites[site] + departure).exp();
        let pressure = self
            .threats
            .iter()
            .zip(&season.severity)
            .map(|(threat, season)| threat.pressure(season + 0.4 * water, stream))
            .collect();
        let logit = self.no_harvest.0[system] + self.no_harvest.1 * water;
        let failed = stream.happens(1.0 / (1.0 + (-logit).exp()));
        let scale = self.shape.tails.map_or(1.0, |nu| (0.5 * nu - 1.0) / stream.gamma(0.5 * nu));
        Meeting { system, site, water, level, pressure, failed, scale }
    }

    /// Lasting difference of a variety from the reference set at one amount of standardised water, before it
    /// grows with the level, a share.
    pub fn difference(&self, variety: usize, site: usize, system: usize, water: f64) -> f64 {
        let v = &self.varieties[variety];
        v.main + v.slope * water + v.system[system] + v.site[site]
    }

    /// What a variety makes where it meets this, apart from what is its own in that trial, a share.
    pub fn expected(&self, variety: usize, season: Option<&Season>, met: &Meeting) -> f64 {
        let own = season.map_or(0.0, |s| s.varieties[variety]);
        let lasting = self.difference(variety, met.site, met.system, met.water);
        met.level * (1.0 - self.lost(variety, &met.pressure)) + self.growth(met.level) * (lasting + own)
    }

    /// What differences are multiplied by at a level.
    pub fn growth(&self, level: f64) -> f64 {
        level.powf(self.shape.kappa)
    }

    /// Share of a healthy yield that a variety loses.
    pub fn lost(&self, variety: usize, pressure: &[u8]) -> f64 {
        let each = self.threats.iter().zip(pressure);
        each.map(|(t, p)| t.loss * t.susceptibility[variety] * f64::from(*p) / 3.0).sum::<f64>().min(0.95)
    }

    /// Whether a variety is entered in a season.
    pub fn entered(&self, variety: usize, season: usize) -> bool {
        let (first, last) = self.varieties[variety].seasons;
        (first..=last).contains(&season)
    }
}

/// Standard deviation of water over sites and seasons, mm.
pub fn water_spread() -> f64 {
    (WATER_SITES.powi(2) + WATER_SEASONS.powi(2) + WATER_REST.powi(2)).sqrt()
}

impl TrueThreat {
    /// Pressure as scored, from a latent severity.
    fn pressure(&self, severity: f64, stream: &mut Stream) -> u8 {
        let latent = self.mean + severity + 0.6 * stream.normal();
        [0.0, 0.7, 1.4].iter().filter(|step| latent > **step).count() as u8
    }
}
