//! The files against the simulation's own truth, against the committed copy and against the contract.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod contract;
mod recovery;

use leanyear_engine::order::Map;

/// One row of a file by column name.
type Row = Map<String, String>;

/// A file's text.
fn text(name: &str) -> String {
    super::files().into_iter().find(|(file, _)| file == name).unwrap().1
}

/// A CSV file's rows, read by a library and not by our own writer.
fn rows(name: &str) -> Vec<Row> {
    let text = text(name);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            header.iter().zip(record.iter()).map(|(h, c)| (h.to_owned(), c.to_owned())).collect()
        })
        .collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn variance(values: &[f64]) -> f64 {
    let centre = mean(values);
    values.iter().map(|x| (x - centre).powi(2)).sum::<f64>() / (values.len() - 1) as f64
}
