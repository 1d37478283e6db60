//! What diseases take from a variety in the average trial of a system, so that adjusted means stand on the ground
//! that the trials stood on. It knows no farmer's field and no outlook.

use crate::forecast::losses::Threat;
use crate::forecast::model::ForecastModel;

/// What the trials of a system met: Σ pressure × healthy level over the number of trials, by threat.
pub(super) struct Diseased {
    exposure: Vec<f64>,
}

/// What a variety loses there, in shares of the system's mean.
#[derive(Default)]
pub(super) struct Lost {
    /// Border columns of the losses that the trials taught, with what a whole loss takes.
    pub learnt: Vec<(usize, f64)>,
    /// Taken by losses that are as published.
    pub published: f64,
    /// Standard deviation by threat of what those take.
    pub doubts: Vec<f64>,
}

impl Diseased {
    /// Of a system (index).
    pub fn of(model: &ForecastModel, system: usize) -> Diseased {
        let columns: Vec<usize> = model
            .prepared
            .column_systems()
            .iter()
            .enumerate()
            .filter(|(_, s)| **s == system)
            .map(|(column, _)| column)
            .collect();
        let met = |threat: &Threat| {
            let sum: f64 = columns.iter().map(|&c| threat.pressure[c] * model.trial_levels[c]).sum();
            sum / columns.len().max(1) as f64
        };
        Diseased { exposure: model.threats.iter().map(met).collect() }
    }

    /// What it takes from a variety (block).
    pub fn lost(&self, model: &ForecastModel, block: usize) -> Lost {
        let mut lost = Lost::default();
        let losses = model.threats.iter().zip(&model.fitted.form.losses).zip(&self.exposure);
        for ((threat, loss), exposure) in losses {
            let hit = threat.susceptibility[block] * exposure;
            if loss.learnt {
                lost.learnt.push((model.prepared.loss_column(lost.learnt.len()), -hit));
            } else {
                lost.published += loss.estimate * hit;
                lost.doubts.push(loss.published.1 * hit);
            }
        }
        lost
    }
}
