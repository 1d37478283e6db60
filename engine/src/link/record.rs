//! The year that is assumed, held to what the record of a place has of water.

use super::{LinkNotice, Settings, WaterOutlook};
use crate::decide::ClimateSource;
use crate::pack::Network;
use crate::season::climate::Climate;

/// The settings, with years as they come in place of a season whose water is not on record for their system and
/// place, or of any other year where no water is on record at all, and a notice of that.
pub fn held_to_record(settings: Settings, network: &Network) -> (Settings, Option<LinkNotice>) {
    if settings.water == WaterOutlook::Any {
        return (settings, None);
    }
    let climate = Climate::of(network, &settings.system, settings.site.as_deref(), settings.zone.as_deref());
    let notice = match settings.water {
        WaterOutlook::Like(year) if climate.seasons.iter().all(|(season, _)| *season != year) => {
            LinkNotice::YearUnknown { year }
        }
        _ if climate.source == ClimateSource::None => LinkNotice::WaterUnknown,
        _ => return (settings, None),
    };
    (Settings { water: WaterOutlook::Any, ..settings }, Some(notice))
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
        let dry = Settings { water: WaterOutlook::Dry, ..like(1850) };
        assert_eq!(held_to_record(dry.clone(), &network), (dry, None));
    }

    #[test]
    fn without_any_water_every_year_becomes_years_as_they_come() {
        let mut network = network();
        network.water.clear();
        network.trials.iter_mut().for_each(|trial| trial.water = None);
        let defaults = LinkDefaults::of(&network, "0").settings().clone();
        for water in [WaterOutlook::Dry, WaterOutlook::DriestFifth, WaterOutlook::Thirds(50, 30, 20)] {
            let (held, notice) = held_to_record(Settings { water, ..defaults.clone() }, &network);
            assert_eq!((held.water, notice), (WaterOutlook::Any, Some(LinkNotice::WaterUnknown)));
        }
        assert_eq!(held_to_record(defaults.clone(), &network), (defaults, None));
    }
}
