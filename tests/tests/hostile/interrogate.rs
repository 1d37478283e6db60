//! Everything that is asked of a network, one after another; whatever is answered has to be finite.

use leanyear_engine::decide::Advisor;
use leanyear_engine::forecast::backtest::{By, backtest};
use leanyear_engine::forecast::form::Ingredients;
use leanyear_engine::link::{Codes, LinkDefaults, decode};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::office::influence::most_influential;
use leanyear_engine::office::look::look;
use leanyear_engine::office::outlying::outlying_means;
use leanyear_engine::office::report::report;
use leanyear_engine::office::residuals::residuals;
use leanyear_engine::office::shares::shares;
use leanyear_engine::office::shortlist::Rules;
use leanyear_engine::pack::{Network, Pack};
use leanyear_tests::hostile::finite;

/// Settings at the edges of what a link may hold.
pub const LINKS: [&str; 6] = [
    "",
    "water=driest-fifth&price=200&cost=300",
    "water=dry&usual=0.01&price=100000000&cost=0&volatility=200&rust=severe&money-unit=money",
    "water=50-30-20&usual=100000&price=0&haul=100000000&cost=100000000&order=worst-fifth&premium=1e8",
    "water=wet&price=3&cost=100000000&cover=100&guarantee-price=1e8&graze=yes&graze-days=366&gain=10000&value=1e8&off=120",
    "water=like-2021&price=1e-9&cost=1e-9&rust=none&spray-rust=1e8:1&order=chance-short&off=-120&graze=yes&at-most=20&min-acres=1e6",
];

/// What the page and the command line ask of a pack.
///
/// # Errors
/// The answer that is not finite.
pub fn ask(advisor: &Advisor, link: &str) -> Result<(), String> {
    let pack = advisor.pack();
    let defaults = LinkDefaults::of(&pack.network, &pack.fingerprint);
    let mut settings = decode(link, &defaults, &Codes::of(&pack.network)).settings;
    let codes = advisor.model().prepared.varieties.clone();
    settings.mine = codes.last().cloned();
    let Ok(draws) = advisor.draws(&settings) else { return Ok(()) };
    let table = advisor.table(&draws, &settings).unwrap();
    finite(&table)?;
    // What the command line would print has every number that the table has.
    serde_json::to_string(&table).unwrap();
    settings.acres = codes.iter().take(3).map(|code| (code.clone(), 40.0)).collect();
    let first = &codes[0];
    finite(&advisor.detail(&draws, &settings, first).unwrap())?;
    finite(&advisor.sprays(&draws, &settings, first).unwrap())?;
    finite(&advisor.worked(&draws, &settings, first).unwrap())?;
    finite(&advisor.grazing(&draws, &settings))?;
    finite(&advisor.compare(&draws, &settings, &codes).unwrap())?;
    finite(&advisor.acres(&draws, &settings))?;
    finite(&advisor.what_would_change(&draws, &settings, &table).unwrap())
}

/// The same, and what the office asks: every sentence that came in place of an answer.
///
/// # Errors
/// The answer that is not finite.
pub fn ask_all(network: Network) -> Result<Vec<String>, String> {
    let mut sentences = Vec::new();
    finite(&look(&network, &[]))?;
    match fit(&network, None, None) {
        Ok(report) => finite(&report)?,
        Err(error) => sentences.push(error.to_string()),
    }
    for forward in [false, true] {
        let ingredients = Ingredients::default();
        if let Ok(record) = backtest(&network, By::Season, forward, ingredients, &mut |_, _| true) {
            finite(&record)?;
        }
    }
    let pack = match Pack::new(network) {
        Ok(pack) => pack,
        Err(error) => {
            sentences.push(error.to_string());
            return Ok(sentences);
        }
    };
    finite(&pack.fitted)?;
    let text = pack.to_json().unwrap();
    let again = Pack::from_json(&text).map_err(|error| format!("its own pack is refused: {error}"))?;
    if again != pack {
        return Err("its own pack comes back otherwise".into());
    }
    let advisor = Advisor::new(again).map_err(|error| format!("its own pack does not open: {error}"))?;
    for link in LINKS {
        ask(&advisor, link).map_err(|lost| format!("{link}: {lost}"))?;
    }
    let (network, model) = (&advisor.pack().network, advisor.model());
    finite(&residuals(network, model))?;
    finite(&outlying_means(network, model))?;
    finite(&shares(model))?;
    finite(&most_influential(network, model, &mut |_, _| {}))?;
    for system in network.systems() {
        if let Ok(report) = report(&advisor, system, &Rules::of(network)) {
            finite(&report)?;
        }
    }
    Ok(sentences)
}
