//! Stand-in for the link codec.
use super::settings::*;
use crate::pack::Network;

/// What a link leaves out.
pub type LinkDefaults = Settings;

/// The codes a link may name.
#[derive(Debug, Clone, Default)]
pub struct Codes {
    /// Systems.
    pub systems: Vec<String>,
    /// Sites.
    pub sites: Vec<String>,
    /// Varieties.
    pub varieties: Vec<String>,
}

impl Codes {
    /// Codes of a network.
    pub fn of(n: &Network) -> Self {
        Self {
            systems: n.systems().into_iter().map(str::to_owned).collect(),
            sites: n.sites.iter().map(|s| s.site.clone()).collect(),
            varieties: n.varieties.iter().map(|v| v.variety.clone()).collect(),
        }
    }
}

/// What is wrong with a link.
#[derive(Debug, Clone, PartialEq)]
pub enum LinkNotice {
    /// An unknown key.
    UnknownKey(String),
    /// A value that cannot be.
    BadValue {
        /// Key.
        key: String,
        /// Value.
        value: String,
    },
    /// Made on other data.
    OtherPack,
}

/// A link, decoded.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded {
    /// Settings.
    pub settings: Settings,
    /// Notices.
    pub notices: Vec<LinkNotice>,
}

impl Settings {
    /// What the page opens with.
    pub fn defaults_for(n: &Network, fingerprint: &str) -> Settings {
        let d = &n.info.defaults;
        Settings {
            pack: Some(fingerprint.to_owned()),
            system: d.system.clone().unwrap_or_else(|| n.systems().first().copied().unwrap_or("all").to_owned()),
            site: d.site.clone(),
            zone: None,
            usual: d.usual,
            unit: n.info.yield_unit,
            mine: None,
            water: WaterOutlook::Any,
            diseases: Default::default(),
            price: d.price,
            haul: None,
            volatility: None,
            cost: d.cost,
            cover: None,
            guarantee_price: None,
            premium: None,
            graze: false,
            graze_days: None,
            gain: None,
            value: None,
            off: None,
            sprays: Default::default(),
            need: vec![],
            at_most: None,
            min_acres: None,
            money_unit: false,
            order: Order::Net,
            view: View::Odds,
            variety: None,
            with: vec![],
            acres: vec![],
        }
    }
}

fn water_word(w: WaterOutlook) -> String {
    match w {
        WaterOutlook::Any => "any".into(),
        WaterOutlook::DriestFifth => "driest-fifth".into(),
        WaterOutlook::Dry => "dry".into(),
        WaterOutlook::Middle => "middle".into(),
        WaterOutlook::Wet => "wet".into(),
        WaterOutlook::Like(y) => format!("like-{y}"),
        WaterOutlook::Thirds(a, b, c) => format!("{a}-{b}-{c}"),
    }
}

/// Settings to text.
pub fn encode(s: &Settings, d: &LinkDefaults) -> String {
    let mut out = vec!["v=1".to_owned(), format!("pack={}", s.pack.clone().unwrap_or_default())];
    let mut put = |k: &str, v: String, same: bool| {
        if !same {
            out.push(format!("{k}={v}"));
        }
    };
    let num = |x: Option<f64>| x.map(|v| v.to_string()).unwrap_or_default();
    put("system", s.system.clone(), s.system == d.system);
    put("site", s.site.clone().unwrap_or_default(), s.site == d.site);
    put("usual", num(s.usual), s.usual == d.usual);
    put("mine", s.mine.clone().unwrap_or_default(), s.mine == d.mine);
    put("water", water_word(s.water), s.water == d.water);
    put("price", num(s.price), s.price == d.price);
    put("cost", num(s.cost), s.cost == d.cost);
    put("order", format!("{:?}", s.order), s.order == d.order);
    put("view", format!("{:?}", s.view), s.view == d.view);
    put("variety", s.variety.clone().unwrap_or_default(), s.variety == d.variety);
    out.join("&")
}

/// Text to settings.
pub fn decode(text: &str, d: &LinkDefaults, codes: &Codes) -> Decoded {
    let mut s = d.clone();
    let mut notices = vec![];
    for part in text.trim_start_matches('#').split('&').filter(|p| !p.is_empty()) {
        let (k, v) = part.split_once('=').unwrap_or((part, ""));
        let opt = (!v.is_empty()).then(|| v.to_owned());
        let ok = match k {
            "v" => true,
            "pack" => {
                if Some(v) != d.pack.as_deref() {
                    notices.push(LinkNotice::OtherPack);
                }
                true
            }
            "system" if codes.systems.iter().any(|x| x == v) => {
                s.system = v.into();
                true
            }
            "site" => {
                s.site = opt;
                true
            }
            "mine" => {
                s.mine = opt;
                true
            }
            "variety" => {
                s.variety = opt;
                true
            }
            "usual" => {
                s.usual = v.parse().ok();
                true
            }
            "price" => {
                s.price = v.parse().ok();
                true
            }
            "cost" => {
                s.cost = v.parse().ok();
                true
            }
            "order" => {
                s.order = match v {
                    "WorstFifth" => Order::WorstFifth,
                    "ChanceShort" => Order::ChanceShort,
                    _ => Order::Net,
                };
                true
            }
            "view" => {
                s.view = match v {
                    "Variety" => View::Variety,
                    "Share" => View::Share,
                    "TrackRecord" => View::TrackRecord,
                    _ => View::Odds,
                };
                true
            }
            "water" => {
                s.water = match v {
                    "driest-fifth" => WaterOutlook::DriestFifth,
                    "dry" => WaterOutlook::Dry,
                    "middle" => WaterOutlook::Middle,
                    "wet" => WaterOutlook::Wet,
                    "50-30-20" => WaterOutlook::Thirds(50, 30, 20),
                    "20-30-50" => WaterOutlook::Thirds(20, 30, 50),
                    _ => v.strip_prefix("like-").and_then(|y| y.parse().ok()).map_or(WaterOutlook::Any, WaterOutlook::Like),
                };
                true
            }
            _ => false,
        };
        if !ok {
            notices.push(LinkNotice::UnknownKey(k.to_owned()));
        }
    }
    Decoded { settings: s, notices }
}
