//! What a page opens with and which codes a link may name, both taken from a network.
//!
//! Knows a network's codes and stated defaults, none of its results.

use super::keys::CodeOf;
use super::settings::Settings;
use crate::decide::units::WHEAT_BUSHEL_LB;
use crate::order::Set;
use crate::pack::{Network, TraitKind, YieldUnit};

/// The settings that a link leaves out.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkDefaults {
    settings: Settings,
    bushel_lb: f64,
}

impl LinkDefaults {
    /// The defaults of a network with the given fingerprint.
    pub fn of(network: &Network, fingerprint: &str) -> Self {
        LinkDefaults {
            bushel_lb: network.info.bushel_lb.unwrap_or(WHEAT_BUSHEL_LB),
            ..Settings::defaults_for(network, fingerprint).into()
        }
    }

    /// Weight of a bushel of the network's crop, lb.
    pub fn bushel_lb(&self) -> f64 {
        self.bushel_lb
    }

    /// What a link in another unit leaves out: the same field and money, counted in that unit.
    pub fn in_unit(&self, unit: YieldUnit) -> Settings {
        self.settings.in_unit(unit, self.bushel_lb)
    }

    /// The settings a page opens with; always normalised.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }
}

impl From<Settings> for LinkDefaults {
    fn from(settings: Settings) -> Self {
        LinkDefaults { settings: settings.normalised(), bushel_lb: WHEAT_BUSHEL_LB }
    }
}

/// Every code that a link may name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Codes {
    /// Systems with a fitted trial.
    pub systems: Set<String>,
    /// Sites.
    pub sites: Set<String>,
    /// Zones of the sites.
    pub zones: Set<String>,
    /// Varieties.
    pub varieties: Set<String>,
    /// Traits of every kind.
    pub traits: Set<String>,
    /// Those of the traits that are diseases or pests: the keys under which a pressure stands.
    pub diseases: Set<String>,
    /// Those that are grain quality: the ones that a dock can be about.
    pub qualities: Set<String>,
}

impl Codes {
    /// The codes of a network.
    pub fn of(network: &Network) -> Self {
        let zones = network.sites.iter().map(|site| site.zone.clone()).filter(|zone| !zone.is_empty());
        let diseases = network.traits.iter().filter(|t| t.kind.harms());
        let qualities = network.traits.iter().filter(|t| t.kind == TraitKind::Quality);
        Codes {
            systems: network.systems().into_iter().map(str::to_owned).collect(),
            sites: network.sites.iter().map(|site| site.site.clone()).collect(),
            zones: zones.collect(),
            varieties: network.varieties.iter().map(|variety| variety.variety.clone()).collect(),
            traits: network.traits.iter().map(|trait_| trait_.trait_.clone()).collect(),
            qualities: qualities.map(|trait_| trait_.trait_.clone()).collect(),
            diseases: diseases.map(|trait_| trait_.trait_.clone()).collect(),
        }
    }

    pub(super) fn knows(&self, of: CodeOf, code: &str) -> bool {
        let codes = match of {
            CodeOf::System => &self.systems,
            CodeOf::Site => &self.sites,
            CodeOf::Zone => &self.zones,
            CodeOf::Variety => &self.varieties,
            CodeOf::Trait => &self.traits,
        };
        codes.contains(code)
    }
}

impl Settings {
    /// What a network's page opens with: its stated system, or the first with a fitted trial; its stated site,
    /// price, cost and usual yield; its unit; the first check as the variety in detail; nothing grown, the year
    /// and diseases as they come.
    pub fn defaults_for(network: &Network, fingerprint: &str) -> Settings {
        let stated = &network.info.defaults;
        let systems = network.systems();
        let system = stated.system.as_deref().filter(|system| systems.contains(system));
        let system = system.or(systems.first().copied()).unwrap_or_default();
        let settings = Settings {
            pack: Some(fingerprint.to_owned()),
            site: stated.site.clone(),
            usual: stated.usual,
            price: stated.price,
            cost: stated.cost,
            variety: network.info.checks.first().cloned(),
            ..Settings::bare(system, network.info.yield_unit)
        };
        settings.normalised()
    }
}
