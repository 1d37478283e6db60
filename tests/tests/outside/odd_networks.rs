//! Networks that try to break the fit: each ends in a clear sentence or in finite numbers.

use leanyear_engine::decide::{Advisor, VarietyOdds};
use leanyear_engine::forecast::backtest::{By, backtest};
use leanyear_engine::forecast::form::Ingredients;
use leanyear_engine::link::Settings;
use leanyear_engine::mixed::report::fit;
use leanyear_engine::office::report::report;
use leanyear_engine::office::shortlist::{Reason, Rules, shortlist};
use leanyear_engine::order::Map;
use leanyear_engine::pack::{ErrorReport, Network, Pack};
use leanyear_engine::page::settings_for;
use leanyear_tests::network_of;

/// A network of so many sites, seasons and varieties, with yields and presence by rule.
fn odd(
    (sites, seasons, varieties): (usize, usize, usize),
    yields: impl Fn(usize, usize, usize) -> f64,
    there: impl Fn(usize, usize, usize) -> bool,
) -> Network {
    let (mut trials, mut means) =
        (String::from("trial,site,season,water\n"), String::from("trial,variety,yield\n"));
    for site in 0..sites {
        for season in 0..seasons {
            trials += &format!(
                "T{site}-{season},S{site},{},{}\n",
                2000 + season,
                200 + (site * 37 + season * 61) % 150
            );
            for variety in (0..varieties).filter(|&v| there(v, site, season)) {
                means += &format!("T{site}-{season},V{variety},{:.3}\n", yields(variety, site, season));
            }
        }
    }
    let info = r#"{"name": "odd", "yield_unit": "t/ha", "water_unit": "mm"}"#;
    let files: Map<String, Vec<u8>> =
        [("network.json", info.to_owned()), ("trials.csv", trials), ("means.csv", means)]
            .map(|(name, text)| (name.to_owned(), text.into_bytes()))
            .into();
    network_of(&files).unwrap()
}

/// Noise without a generator: digits of a product.
fn noise(variety: usize, site: usize, season: usize) -> f64 {
    let mixed = (variety * 7919 + site * 104_729 + season * 15_485_863 + 17) % 1009;
    mixed as f64 / 1009.0 - 0.5
}

fn plain(variety: usize, site: usize, season: usize) -> f64 {
    3.0 + 0.1 * variety as f64 + 0.3 * season as f64 + 0.6 * noise(variety, site, season)
}

/// Everything that is asked of a network gives finite numbers, or a sentence of more than a few words.
fn answers(network: &Network) -> Vec<String> {
    let mut sentences = Vec::new();
    match fit(network, None, None) {
        Ok(report) => {
            assert!(report.reml.is_finite());
            assert!(report.effects.iter().all(|e| e.effect.is_finite() && e.se.is_finite()));
        }
        Err(error) => sentences.push(error.to_string()),
    }
    match Pack::new(network.clone()) {
        Ok(pack) => {
            let advisor = Advisor::new(pack).unwrap();
            let settings = Settings::defaults_for(&advisor.pack().network, &advisor.pack().fingerprint);
            let table = advisor.table(&advisor.draws(&settings).unwrap(), &settings).unwrap();
            for row in &table.varieties {
                let numbers =
                    [row.expected, row.low80, row.high80, row.chance_short, row.best, row.worst_fifth];
                assert!(numbers.iter().all(|x| x.is_finite() && *x >= 0.0), "{row:?}");
            }
        }
        Err(error) => sentences.push(error.to_string()),
    }
    for forward in [false, true] {
        if let Ok(result) = backtest(network, By::Season, forward, Ingredients::default(), &mut |_, _| true) {
            assert!(result.given_water.rmse.is_finite() && result.given_water.crps.is_finite());
        }
    }
    assert!(sentences.iter().all(|s| s.split_whitespace().count() >= 5), "{sentences:?}");
    sentences
}

/// Two dry seasons in which each inch counted, and a wet one that made no more than any wet season makes: what the dry
/// ones teach must not promise it many times the best yield, nor differences between varieties of that size.
#[test]
fn a_wet_season_after_dry_ones_is_promised_no_miracle() {
    let (mut trials, mut means) =
        (String::from("trial,site,season,water\n"), String::from("trial,variety,yield\n"));
    for (season, waters) in [
        (2021, [7.0, 8.5, 10.0, 11.5, 13.0, 14.0]),
        (2022, [7.5, 9.0, 10.5, 12.0, 12.5, 13.5]),
        (2023, [16.0, 18.0, 20.0, 21.0, 22.5, 23.0]),
    ] {
        for (site, water) in waters.into_iter().enumerate() {
            trials += &format!("T{site}-{season},S{site},{season},{water}\n");
            let dry = 8.0 * 1.16_f64.powf(water - 7.0) * (1.0 + 0.3 * noise(3, site, season));
            let level = if season == 2023 { 28.0 + 0.2 * water } else { dry };
            for variety in 0..8 {
                let own = level * (1.0 + 0.06 * variety as f64) + 2.0 * noise(variety, site, season);
                means += &format!("T{site}-{season},V{variety},{own:.2}\n");
            }
        }
    }
    let info = r#"{"name": "dry, dry, wet", "yield_unit": "bu/ac", "bushel_lb": 60, "water_unit": "in"}"#;
    let files: Map<String, Vec<u8>> =
        [("network.json", info.to_owned()), ("trials.csv", trials), ("means.csv", means)]
            .map(|(name, text)| (name.to_owned(), text.into_bytes()))
            .into();
    let network = network_of(&files).unwrap();
    let greatest = network.means.iter().map(|mean| mean.yield_).fold(0.0, f64::max);
    let found = backtest(&network, By::Season, false, Ingredients::default(), &mut |_, _| true).unwrap();
    assert!(found.level.rmse < 0.3 * greatest, "{} of {greatest}", found.level.rmse);
    let wet = found.by.iter().find(|fold| fold.fold == "2023").unwrap();
    assert!(wet.rmse < wet.rmse_raw_mean, "{} against {}", wet.rmse, wet.rmse_raw_mean);
}

#[test]
fn small_networks_give_numbers() {
    let everywhere = |_, _, _| true;
    for size in [(5, 1, 6), (1, 6, 6), (3, 4, 2), (2, 2, 3), (2, 1, 2), (3, 1, 40), (4, 5, 8)] {
        let sentences = answers(&odd(size, plain, everywhere));
        assert_eq!(sentences, Vec::<String>::new(), "{size:?}");
    }
}

#[test]
fn what_cannot_be_estimated_is_named() {
    let everywhere = |_, _, _| true;
    let one_trial = answers(&odd((1, 1, 6), plain, everywhere));
    assert!(one_trial.iter().all(|s| s.contains("only one fitted trial")) && one_trial.len() == 2);
    let one_variety = answers(&odd((3, 4, 1), plain, everywhere));
    assert!(one_variety.iter().all(|s| s.contains("only one variety")) && one_variety.len() == 2);
    let equal = answers(&odd((3, 4, 5), |_, _, season| 3.0 + season as f64, everywhere));
    assert!(equal.iter().all(|s| s.contains("all yields are equal")) && equal.len() == 2);
}

/// What is left out of a network's fit.
fn left_out(network: &Network) -> Vec<(String, String)> {
    fit(network, None, None).unwrap().dropped.into_iter().map(|d| (d.term, d.why)).collect()
}

/// Two terms with one matrix share a variance as they like, and the effects of varieties with it: one has to go.
#[test]
fn terms_that_say_the_same_are_not_fitted_together() {
    let at_one_site = odd((3, 4, 9), plain, |v, site, _| v % 3 == site);
    let why = left_out(&at_one_site);
    assert!(
        why.iter().any(|(term, why)| term == "variety:site" && why.contains("cannot be told from `variety`"))
    );
    let effects = fit(&at_one_site, None, None).unwrap().effects;
    assert!(effects.iter().any(|e| e.effect.abs() > 0.01), "{effects:?}");

    let mut one_site = odd((1, 6, 6), plain, |_, _, _| true);
    let unknown = left_out(&one_site);
    for trial in &mut one_site.trials {
        trial.error = ErrorReport { reps: Some(3.0), error_ms: Some(0.02), ..Default::default() };
    }
    assert_eq!(left_out(&one_site), unknown);
    assert!(
        unknown.iter().any(|(term, why)| term == "variety:season" && why.contains("told from the residual"))
    );
}

#[test]
fn a_residual_of_which_nothing_is_left_is_named() {
    let everywhere = |_, _, _| true;
    let additive = odd((3, 4, 6), |v, site, season| 3.0 + 0.1 * (v + site + 2 * season) as f64, everywhere);
    let named = |network: &Network| left_out(network).iter().any(|(term, _)| term == "residual");
    assert!(named(&additive) && !named(&odd((3, 4, 6), plain, everywhere)));
}

/// A trial left out by itself is of a season that others show; a season left out whole is one to come.
#[test]
fn what_a_season_did_to_varieties_is_used_where_other_trials_show_it() {
    let of_seasons = |v, site, season| 3.0 + 2.0 * noise(v, 97, season) + 0.2 * noise(v, site, season);
    let network = odd((4, 6, 8), of_seasons, |_, _, _| true);
    let missed = |by| {
        backtest(&network, by, false, Ingredients::default(), &mut |_, _| true).unwrap().given_water.rmse
    };
    assert!(missed(By::Trial) < 0.3 * missed(By::Season));
}

#[test]
fn awkward_presence_gives_numbers() {
    let once_only = odd((4, 4, 8), plain, |v, site, season| v < 7 || (site, season) == (0, 0));
    let disconnected = odd((4, 4, 8), plain, |v, site, _| (v < 4) == (site < 2));
    let sparse = odd((3, 4, 6), plain, |v, site, season| (v + site + season) % 3 == 0);
    for network in [once_only, disconnected, sparse] {
        assert_eq!(answers(&network), Vec::<String>::new());
    }
}

#[test]
fn a_misplaced_decimal_and_lost_crops_never_panic() {
    let slip =
        |v, site, season| if (v, site, season) == (1, 1, 1) { 99_999.0 } else { plain(v, site, season) };
    answers(&odd((3, 4, 6), slip, |_, _, _| true));
    let lost = |v, site, season| if season == 1 { 0.0 } else { plain(v, site, season) };
    answers(&odd((3, 4, 5), lost, |_, _, _| true));
}

/// What a trial's report may state of its error at the edge of sense, in means read or worked out elsewhere.
#[test]
fn error_variances_at_the_edge_give_numbers() {
    let with = |report: &dyn Fn(usize) -> ErrorReport, plots: Option<f64>| {
        let mut network = odd((3, 4, 6), plain, |_, _, _| true);
        network.trials.iter_mut().enumerate().for_each(|(j, t)| t.error = report(j));
        network.means.iter_mut().for_each(|m| m.plots = plots);
        network
    };
    let stated = |error_ms| ErrorReport { reps: Some(3.0), error_ms: Some(error_ms), ..Default::default() };
    let first = |error_ms: f64| with(&|j| stated(if j == 0 { error_ms } else { 0.2 }), None);
    let lsd = |lsd, reps| {
        let report = ErrorReport { reps: Some(reps), lsd: Some(lsd), ..Default::default() };
        with(&|_| ErrorReport { lsd_level: Some(0.05), ..report }, None)
    };
    for (name, network) in [
        ("zero", with(&|_| stated(0.0), None)),
        ("zero in one trial", first(0.0)),
        ("next to zero", with(&|_| stated(1e-9), None)),
        ("small in one trial", first(1e-4)),
        ("a thousand times the others' in one trial", first(200.0)),
        ("above the spread of the means", with(&|_| stated(3.0), None)),
        ("an LSD of zero", lsd(0.0, 3.0)),
        ("an LSD with one replicate", lsd(0.4, 1.0)),
        ("no replicates", lsd(0.4, 0.0)),
        ("no plots", with(&|_| ErrorReport::default(), Some(0.0))),
    ] {
        assert_eq!(answers(&network), Vec::<String>::new(), "{name}");
    }
    // A sentence is answer enough where the unit must be wrong.
    answers(&with(&|_| stated(1e6), None));
    answers(&first(1e-9));
}

/// Two sets of varieties that no trial joins: their own odds are told, and nothing that sets one against another.
#[test]
fn varieties_that_never_met_are_not_set_against_each_other() {
    let network = odd((4, 4, 10), plain, |variety, site, _| (variety < 6) == (site < 3));
    let apart = |code: &str| code.trim_start_matches('V').parse::<usize>().unwrap() >= 6;
    let advisor = Advisor::new(Pack::new(network).unwrap()).unwrap();
    let settings = Settings { mine: Some("V0".to_owned()), ..settings_for(&advisor, "all") };
    let draws = advisor.draws(&settings).unwrap();
    let table = advisor.table(&draws, &settings).unwrap();
    for row in &table.varieties {
        assert_eq!(row.standing.apart, apart(&row.variety), "{}", row.variety);
        assert_eq!(row.beats_mine.is_some(), row.variety != "V0" && !apart(&row.variety), "{}", row.variety);
        // The varieties of the last two seasons are of both sets; each is held against its own.
        let against = advisor.detail(&draws, &settings, &row.variety).unwrap().long_run.unwrap().against;
        assert!(against.len() > 3 && against.iter().all(|other| apart(other) == apart(&row.variety)));
    }
    for of_both in [false, true] {
        let group = |row: &&VarietyOdds| row.group && apart(&row.variety) == of_both;
        assert!(table.varieties.iter().any(|row| group(&row)), "no trial parts the leaders");
    }
    let asked = ["V0", "V6", "V1", "V7"].map(str::to_owned);
    let found = advisor.compare(&draws, &settings, &asked).unwrap();
    let pairs: Vec<(&str, &str)> = found.pairs.iter().map(|p| (p.a.as_str(), p.b.as_str())).collect();
    assert_eq!(pairs, [("V0", "V1"), ("V6", "V7")]);
    assert!(!found.tipping.is_empty() && found.tipping.iter().all(|p| apart(&p.a) == apart(&p.b)));
    assert_eq!(advisor.duel(&draws, &settings, "V0", "V6").unwrap(), None);
    let change = advisor.what_would_change(&draws, &settings, &table).unwrap();
    let leader = change.leader.unwrap();
    let ahead = change.changes.iter().filter_map(|change| change.ahead.as_deref());
    assert!(
        ahead
            .chain(change.newcomer.iter().map(|new| new.variety.as_str()))
            .all(|v| apart(v) == apart(&leader))
    );

    let rules = Rules::of(&advisor.pack().network);
    for line in shortlist(&advisor, "all", &rules).unwrap() {
        assert_eq!(line.reasons.contains(&Reason::TestedApart), apart(&line.variety));
    }
    // The difference between two that never met is known far less well, and would swell the LSD of those that did.
    let whole = report(&advisor, "all", &rules).unwrap().lsd.unwrap();
    let alone = odd((3, 4, 6), plain, |_, _, _| true);
    let alone = Advisor::new(Pack::new(alone).unwrap()).unwrap();
    let alone = report(&alone, "all", &rules).unwrap().lsd.unwrap();
    assert!(whole < 1.6 * alone, "{whole} beside {alone}");
}
