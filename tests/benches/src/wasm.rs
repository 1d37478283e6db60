//! The entries that are measured in wasm: a fit, and the numbers of a decision.
//!
//! Reading and setting up are kept apart from what is timed. Errors come out as words: there is nobody
//! to act on them but the reader of the benchmark.

use leanyear_engine::decide::Advisor;
use leanyear_engine::forecast::draws::Draws;
use leanyear_engine::link::{LinkDefaults, Settings, WaterOutlook};
use leanyear_engine::mixed::report::fit;
use leanyear_engine::mixed::terms::Terms;
use leanyear_engine::pack::{Network, Pack, read};
use wasm_bindgen::prelude::wasm_bindgen;

/// A network to be fitted again and again.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Fit {
    network: Network,
    terms: Terms,
}

#[wasm_bindgen]
impl Fit {
    /// Reads a network from the text of its files.
    ///
    /// # Errors
    /// What is wrong with the files or the terms.
    #[wasm_bindgen(constructor)]
    pub fn new(info: &str, trials: &str, means: &str, terms: &str) -> Result<Fit, String> {
        let files = [("network.json", info), ("trials.csv", trials), ("means.csv", means)]
            .into_iter()
            .map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()))
            .collect();
        let reading = read(&files);
        let problems: Vec<String> = reading.errors.iter().map(ToString::to_string).collect();
        let network = reading.network.ok_or_else(|| problems.join("\n"))?;
        let terms = Terms::parse(terms).map_err(|error| error.to_string())?;
        Ok(Fit { network, terms })
    }

    /// Fits; returns the criterion and the number of passes.
    ///
    /// # Errors
    /// What cannot be estimated.
    pub fn run(&self) -> Result<Vec<f64>, String> {
        let report = fit(&self.network, Some(self.terms), None).map_err(|error| error.to_string())?;
        Ok(vec![report.reml, report.iterations as f64])
    }
}

/// A page's engine, asked the two questions that a change of the settings asks.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Decision {
    advisor: Advisor,
    settings: Settings,
    draws: Draws,
}

#[wasm_bindgen]
impl Decision {
    /// Opens a pack.
    ///
    /// # Errors
    /// What is wrong with the pack.
    #[wasm_bindgen(constructor)]
    pub fn new(pack: &str) -> Result<Decision, String> {
        let pack = Pack::from_json(pack).map_err(|error| error.to_string())?;
        let settings = LinkDefaults::of(&pack.network, &pack.fingerprint).settings().clone();
        let advisor = Advisor::new(pack).map_err(|error| error.to_string())?;
        let draws = advisor.draws(&settings).map_err(|error| error.to_string())?;
        Ok(Decision { advisor, settings, draws })
    }

    /// Another kind of year: draws and table anew. Returns the number of varieties.
    ///
    /// # Errors
    /// Settings that no trial answers.
    pub fn change_water(&mut self, dry: bool) -> Result<usize, String> {
        self.settings.water = if dry { WaterOutlook::Dry } else { WaterOutlook::Wet };
        self.draws = self.advisor.redraw(&self.draws, &self.settings).map_err(|error| error.to_string())?;
        self.table()
    }

    /// Another price: the table alone. Returns the number of varieties.
    ///
    /// # Errors
    /// Settings that no trial answers.
    pub fn change_price(&mut self, price: f64) -> Result<usize, String> {
        self.settings.price = Some(price);
        self.table()
    }

    fn table(&self) -> Result<usize, String> {
        let table = self.advisor.table(&self.draws, &self.settings).map_err(|error| error.to_string())?;
        Ok(table.varieties.len())
    }
}
