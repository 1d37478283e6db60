//! An outlook like a season of the record, held to the seasons that the record of a place has.

use super::{LinkNotice, Settings, WaterOutlook};
use crate::pack::Network;
use crate::season::climate::Climate;

/// The settings, with years as they come in place of a season whose water is not on record for their system and
/// place, and a notice of that.
pub fn held_to_record(settings: Settings, network: &Network) -> (Settings, Option<LinkNotice>) {
    let WaterOutlook::Like(year) = settings.water else { return (settings, None) };
    let climate = Climate::of(network, &settings.system, settings.site.as_deref(), settings.zone.as_deref());
    if climate.seasons.iter().any(|(season, _)| *season == year) {
        return (settings, None);
    }
    let as_it_comes = Settings { water: WaterOutlook::Any, ..settings };
    (as_it_comes, Some(LinkNotice::YearUnknown { year }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::test_network::network;
    use crate::link::LinkDefaults;

    #[test]
    fn a_season_that_is_not_on_record_becomes_years_as_they_come() {
        let network = network();
        let defaults = LinkDefaults::of(&network, "0").settings().clone();
        let system = network.trials[0].system.clone();
        let like =
            |year| Settings { system: system.clone(), water: WaterOutlook::Like(year), ..defaults.clone() };
        let known = Climate::of(&network, &system, None, None).seasons[0].0;
        assert_eq!(held_to_record(like(known), &network), (like(known), None));
        let (held, notice) = held_to_record(like(1850), &network);
        assert_eq!(held, Settings { water: WaterOutlook::Any, ..like(1850) });
        assert_eq!(notice, Some(LinkNotice::YearUnknown { year: 1850 }));
    }
}
