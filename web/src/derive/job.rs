//! Work that takes seconds: asked for and answered as text, so that it can be done off the screen.

use crate::office;
use leanyear_engine::forecast::backtest::{BacktestError, TrialRange, past_ranges};
use leanyear_engine::pack::Pack;

/// Work that takes seconds and runs off the screen. Named by a plain field beside its data: an enum
/// tagged by its own content would hold the whole pack twice, and its code three times.
#[derive(Debug, serde::Deserialize)]
struct Request {
    job: Job,
    /// The pack to work on.
    pack: Pack,
}

/// The jobs there are.
#[derive(Debug, Clone, Copy, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Job {
    /// How often the ranges would have held in the seasons that are over, each worked out from the
    /// seasons before it alone.
    TrackRecord,
}

/// What is wrong with a job, for the page's own code and not for a reader.
#[derive(Debug, thiserror::Error)]
enum JobError {
    #[error("this is no job: {0}")]
    Unknown(#[from] serde_json::Error),
    #[error(transparent)]
    Backtest(#[from] BacktestError),
}

/// Does a job given as JSON and answers in JSON: the result, or `{"error": "…"}`. `progress` hears percents.
pub fn do_job(request: &str, progress: &mut dyn FnMut(u8)) -> String {
    if office::job::is_work(request) {
        return office::job::do_work(request, progress);
    }
    match job_result(request) {
        Ok(result) => result,
        Err(error) => serde_json::json!({ "error": error.to_string() }).to_string(),
    }
}

fn job_result(request: &str) -> Result<String, JobError> {
    let Request { job, pack } = leanyear_engine::json::read(request)?;
    match job {
        Job::TrackRecord => Ok(serde_json::to_string(&past_ranges(&pack.network, &mut |_, _| true)?)?),
    }
}

/// The request for the track record of the pack whose text is given.
pub fn track_record_request(pack: &str) -> String {
    format!("{{\"job\":\"track-record\",\"pack\":{pack}}}")
}

/// Reads the answer to [`track_record_request`]; `None` where the job failed.
pub fn track_record_answer(answer: &str) -> Option<Vec<TrialRange>> {
    leanyear_engine::json::read(answer).ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn an_unknown_job_is_answered_with_an_error() {
        for request in ["", "{}", "{\"job\":\"mow\"}", "{\"job\":\"track-record\"}"] {
            let answer: serde_json::Value = serde_json::from_str(&do_job(request, &mut |_| {})).unwrap();
            assert!(answer["error"].is_string(), "{request}: {answer}");
            assert_eq!(track_record_answer(&answer.to_string()), None);
        }
    }
}
