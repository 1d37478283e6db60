//! A small invented network for tests of this folder: two systems, six seasons, two sites, eight varieties.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use crate::order::Map;
use crate::pack::{self, Network};

/// The same network, but its two sites never grew a variety together: those of site `A` are named `A1` to `A8`.
pub fn network_apart() -> Network {
    let mut network = network();
    network.varieties.clear();
    network.shortlist.clear();
    for mean in network.means.iter_mut().filter(|mean| mean.trial.starts_with('A')) {
        mean.variety = mean.variety.replace('V', "A");
    }
    network
}

/// The network; variety `V1` is best by construction and `V8` worst, `V7` is in the last season alone.
pub fn network() -> Network {
    let mut trials = "trial,site,season,system,water,reps,error_ms,excluded\n".to_owned();
    let mut means = "trial,variety,yield,plots\n".to_owned();
    for season in 2019..2025 {
        for (site, lift) in [("A", 0.0), ("B", 4.0)] {
            for (system, level) in [("dryland", 30.0), ("irrigated", 70.0)] {
                let trial = format!("{site}{season}{}", &system[..1]);
                let dry = f64::from((season * 7) % 5);
                let excluded = if (season, site, system) == (2020, "A", "dryland") { "hail" } else { "" };
                trials += &format!("{trial},{site},{season},{system},{},4,9,{excluded}\n", 8.0 + dry);
                for variety in 1..=8 {
                    if variety == 7 && season < 2024 {
                        continue;
                    }
                    let noise =
                        f64::from((variety * 31 + season * 17 + level as i32 + lift as i32 * 5) % 13) / 4.0;
                    let yield_ = level + lift + 2.0 * dry - 1.5 * f64::from(variety) + noise;
                    means += &format!("{trial},V{variety},{yield_},4\n");
                }
            }
        }
    }
    let info = r#"{"name": "Invented", "invented": true, "yield_unit": "bu/ac", "bushel_lb": 60, "water_unit": "in",
        "currency": "$", "checks": ["V2"], "defaults": {"price": 5.8, "cost": 120, "system": "dryland"}}"#;
    let traits = "trait,kind,best,worst\nleaf-rust,disease,1,9\n";
    let ratings = "variety,trait,value\nV1,leaf-rust,2\nV2,leaf-rust,9\nV3,leaf-rust,5\n";
    let files = [
        ("network.json", info),
        ("trials.csv", &trials),
        ("means.csv", &means),
        ("traits.csv", traits),
        ("ratings.csv", ratings),
        ("shortlist.csv", "system,variety,stance,note\ndryland,V4,in,trust it\ndryland,V1,out,lodges\n"),
    ];
    let files: Map<String, Vec<u8>> =
        files.into_iter().map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec())).collect();
    let reading = pack::read(&files);
    reading.network.unwrap_or_else(|| panic!("{:?}", reading.errors))
}
